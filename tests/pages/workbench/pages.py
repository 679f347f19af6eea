"""Reading an answer as a page."""


def html(answer, status: int = 200) -> str:
    assert answer.status_code == status
    text = answer.content.decode()
    assert text.count("<h1") == 1
    return text
