"""What programs are told when it does not work: problem details in JSON (RFC 9457), with a sentence."""

from http import HTTPStatus

from django.http import HttpRequest, JsonResponse

BEGINS = "/api/v1/"
KIND = "application/problem+json"


class ApiProblem(Exception):
    """Nothing is answered but this: an HTTP status, and a sentence that says what to do."""

    def __init__(self, status: HTTPStatus, detail: str, headers: dict[str, str] | None = None) -> None:
        super().__init__(detail)
        self.status, self.detail, self.headers = status, detail, headers or {}


def problem_answer(status: int, detail: str, headers: dict[str, str] | None = None) -> JsonResponse:
    """The answer for a problem."""
    said = {"type": "about:blank", "title": HTTPStatus(status).phrase, "status": status, "detail": detail}
    answer = JsonResponse(said, status=status, content_type=KIND, json_dumps_params={"ensure_ascii": False})
    for name, value in {"Cache-Control": "private, no-store", **(headers or {})}.items():
        answer[name] = value
    return answer


def is_asked_by_program(request: HttpRequest) -> bool:
    """Whether the answer is to be JSON, also where no page of ours was reached."""
    return request.path_info.startswith(BEGINS)
