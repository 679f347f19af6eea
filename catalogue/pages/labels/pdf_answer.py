"""A PDF as the answer to a browser: shown there, under a name to save it by."""

from django.http import HttpResponse


def pdf_answer(content: bytes, name: str) -> HttpResponse:
    """The file, called `name`.pdf where it is saved; no browser keeps it, as it holds private facts."""
    return HttpResponse(
        content,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}.pdf"', "Cache-Control": "no-store"},
    )
