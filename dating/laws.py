"""Rules of law for a whole class of bottles: a date-code scheme that needs proof that it was in force."""

from .case import Case
from .codes import DateCode
from .library import Reference
from .tables import Mark


def in_force(code: DateCode, case: Case, mark: Mark | None = None) -> bool:
    """Whether a rule of law is shown to hold: by a wording on the glass, or by evidence of its years."""
    if not code.only_with:
        return True
    if mark and _begins(mark.used_from, code):
        return True
    return shown(code, case)


def shown(code: DateCode, case: Case) -> bool:
    """The same by what stands on the bottle beside its marks, or is known of it."""
    seen = {feature.id for feature in case.features if feature.certainty != "doubtful"}
    return bool(seen & set(code.only_with)) or any(
        _begins(known.start, code) for known in case.known if known.certainty != "doubtful"
    )


def law_class(mark: Mark, ref: Reference) -> str:
    """All that the rules for a whole class of bottles can tell of a mark without schemes of its own."""
    begun = [code.id for code in ref.law_codes if _begins(mark.used_from, code)]
    return " ".join((mark.country, *begun))


def _begins(year: int | None, code: DateCode) -> bool:
    return year is not None and code.or_from is not None and year >= code.or_from
