"""Start check of stored hazard keys: one that no table of this version knows is named.

The piece itself is closed to every act until somebody has looked anew (`care_tables.unknown_gates`).
"""

from catalogue.care.care_tables import care_tables, unknown_gates
from catalogue.care.models import Check
from catalogue.care.piece_facts import knowledge_of
from catalogue.specimens.models import Specimen

MOST_NAMED = 5


def look_at_stored_keys() -> list[str]:
    """A sentence where a look that counts names what is not known. One query where all is well."""
    stored = {key for found in Check.objects.values_list("found", flat=True).distinct() for key in found}
    gates = care_tables().gates
    strange = {gate.key for gate in unknown_gates(stored, gates)}
    if not strange:
        return []
    rows = Check.objects.values_list("find_id", "found")
    finds = {find for find, found in rows if strange & set(found)}
    known = knowledge_of(Specimen.objects.filter(pk__in=finds).in_order())
    closed = {each.find.number: unknown_gates(each.facts.flags, gates) for each in known.values()}
    lines = [f"{number} ({', '.join(gate.key for gate in by)})" for number, by in closed.items() if by]
    if not lines:
        return []
    more = f" and {len(lines) - MOST_NAMED} more" if len(lines) > MOST_NAMED else ""
    return [
        f"A look names a hazard that this version does not know: {', '.join(lines[:MOST_NAMED])}{more}. "
        "Nothing is done with such a piece before somebody has looked at it anew."
    ]
