"""A question before an act: the hidden fields that send again all that was sent."""

from django.http import HttpRequest


def sent_again(request: HttpRequest, *answers: str) -> list[tuple[str, str]]:
    """What was sent, but for the tokens of the form and the fields `answers` that the question asks for.

    A field for each of several things counts by what stands before its last dash.
    """
    unsent = ("csrfmiddlewaretoken", "once", *answers)
    return [
        (name, value)
        for name, values in request.POST.lists()
        if not {name, name.rpartition("-")[0]} & set(unsent)
        for value in values
    ]
