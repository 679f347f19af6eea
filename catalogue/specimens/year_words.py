"""Years from and to, as a person says them."""


def span_words(
    first: int | None, last: int | None, *, about_first: bool = False, about_last: bool = False
) -> str:
    """ "1905 to about 1920", "1930 or later", "until about 1950", "1925"; "years not known" for neither."""
    start = f"about {first}" if about_first else f"{first}"
    end = f"about {last}" if about_last else f"{last}"
    if first is None and last is None:
        return "years not known"
    if last is None:
        return f"{start} or later"
    if first is None:
        return f"until {end}"
    return start if first == last else f"{start} to {end}"
