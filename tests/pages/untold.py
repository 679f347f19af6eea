"""A page's text as it was before its words of the trade were made to explain themselves."""

import re


def untold(html: str) -> str:
    """The markup without the buttons and meanings of terms: the sentence as it is read."""
    html = re.sub(r'<span class="term-says".*?</span>', "", html, flags=re.S)
    return re.sub(
        r'<span class="clings"><button[^>]*class="term"[^>]*>(.*?)</button>(.*?)</span>', r"\1\2", html
    )
