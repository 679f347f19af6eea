"""What a browser sends from the maker's form."""

HEADS = {
    f"{name}-{what}_FORMS": number
    for name in ("marks", "codes", "works")
    for what, number in (("TOTAL", "1"), ("INITIAL", "0"))
}
TWO_MARKS = {
    "marks-TOTAL_FORMS": "2",
    "marks-0-letters": "BW",
    "marks-0-symbol": "wave",
    "marks-0-from_year": "1922",
    "marks-0-to_year": "1950",
    "marks-1-letters": "BBC",
    "marks-1-frame": "circle",
}


def code(number: int, kind: str, **values: str) -> dict[str, str]:
    """One row of the codes."""
    row = {"kind": kind, "position": "right", "valid_from": "1922", "valid_to": "1950"} | values
    return {f"codes-{number}-{name}": value for name, value in row.items()}
