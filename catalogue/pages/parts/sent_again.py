"""A question before an act: the hidden fields that send again all that was sent."""

from django.http import HttpRequest


def sent_again(request: HttpRequest, answer: str) -> list[tuple[str, str]]:
    """What was sent, but for the tokens of the form and the field `answer` that the question asks for."""
    unsent = ("csrfmiddlewaretoken", "once", answer)
    return [(name, value) for name, values in request.POST.lists() if name not in unsent for value in values]
