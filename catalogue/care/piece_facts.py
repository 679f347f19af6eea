"""Contraindications and cautions: what is known of a piece that bears on its treatment, where it is known
from, and what to mind with a method."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from django.db.models import Prefetch, QuerySet, prefetch_related_objects
from django.utils import timezone

from catalogue.care.acts import Act, ActAnswer, HazardObjection, answer_for, hazards_of, is_left_alone
from catalogue.care.care_tables import Gate, TreatmentKind, Why, care_tables, treatment_kinds
from catalogue.care.decision import Decision, PieceFacts, Verdict, blocks_of, decide
from catalogue.care.grading import storage_advice
from catalogue.care.models import Check, ConditionReport, Damage, Tool
from catalogue.common.localisation import day_words
from catalogue.specimens.models import Inscription, Specimen

# The kinds of treatment with something to mind.
CAUTIONS: Mapping[str, TreatmentKind] = MappingProxyType(
    {key: kind for key, kind in treatment_kinds().items() if kind.caution}
)
# Work that waits where a site is noted as a wreck or has a military link. Vinegar and citric are acids too.
HELD_METHODS = frozenset(key for key, kind in treatment_kinds().items() if kind.waits)


def caution_for(method: str) -> TreatmentKind | None:
    """The caution of a method, if it has one."""
    return CAUTIONS.get(method)


def waits(method: str, site: object | None) -> bool:
    """Whether this method waits for a person's decision on the site of the find."""
    return bool(site is not None and getattr(site, "holds", False) and method in HELD_METHODS)


# Which gate a kind of damage stands for.
GATE_OF_DAMAGE = {
    "sealed": "sealed",
    "munition": "munition",
    "remains": "remains",
    "crack": "crack",
    "flash": "crack",
    "iridescent": "iridescent",
    "flaking": "unstable",
    "crizzling": "unstable",
    "weeping": "unstable",
    "rust": "metal",
    "sulphide": "sulphide",
    "repair": "repair",
    "haze": "haze",
}
# These don't heal: once reported they count until a later look says otherwise.
LASTING = {"crack", "unstable", "repair", "iridescent"}
# Not cleared by a look at the bench: one wrong tap must never put such a piece into acid.
UNTIL_REPORTED = ("sealed", "munition", "remains")
GATE_OF_LETTERING: dict[str, str] = {
    Inscription.How.FIRED: "fired_label",
    Inscription.How.GHOST: "fired_label",
    Inscription.How.PAPER: "paper_label",
}
# What holds of a piece on its shelf too, by the damage that the advice is listed under.
STORED_AS = {"unstable": "weeping", "iridescent": "iridescent"}
LIGHT = {Damage.Extent.TRACE, Damage.Extent.LITTLE}
EARLY_BEFORE = 1700


@dataclass(slots=True)
class Knowledge:
    """The facts of one piece, and by gate the words that say where each is known from."""

    find: Specimen
    facts: PieceFacts
    known_from: dict[str, str] = field(default_factory=dict)

    @property
    def decision(self) -> Decision:
        return decide(self.facts)

    @property
    def blocks(self) -> tuple[Gate, ...]:
        """The gates that stand before an acid bath of it."""
        return blocks_of(self.facts)

    def advised_against(self, logs_as: str) -> Verdict | None:
        """The verdict against a treatment that needs a written reason; of "other" nobody can tell."""
        if logs_as == "other":
            return None
        verdict = self.decision.forbids(logs_as)
        return verdict if verdict and (self.blocks or self.facts.look == "growth") else None

    @property
    def to_tick(self) -> frozenset[str]:
        """What is known already of what one looks for on the piece."""
        gates = care_tables().gates
        return frozenset(flag for flag in self.facts.flags if flag in gates and gates[flag].by_eye)

    @property
    def storage(self) -> list[Why]:
        """What its glass asks of the shelf."""
        return storage_advice(kind for flag, kind in STORED_AS.items() if flag in self.facts.flags)

    @property
    def leave_alone(self) -> bool:
        """Nothing at all is done to it here."""
        return is_left_alone(self.facts.flags)

    @property
    def hazards(self) -> list[Gate]:
        """What stands under its name on every page: what speaks against some act with it."""
        return hazards_of(self.facts.flags)

    def may(self, act: Act) -> ActAnswer:
        """Whether an act is open, and why not."""
        return answer_for(self.facts.flags, act)

    @property
    def not_given(self) -> list[HazardObjection]:
        """What refuses to set it free, whatever reason is given."""
        return self.may(Act.FREE).refused

    @property
    def never_shown(self) -> bool:
        """Whether no reason opens it to visitors."""
        return bool(self.may(Act.SHARE).refused)

    @property
    def held_back(self) -> str:
        """As what visitors would see it ("free to take") but for a hazard seen later; else empty."""
        if self.find.standing == Specimen.Standing.FREE and self.not_given:
            return "free to take"
        return "shared" if self.find.shared and self.never_shown else ""

    def keeps_off(self, tool: Tool) -> bool:
        """A rough tool inside a cracked piece."""
        return bool(tool.rough and tool.where != Tool.Where.OUTSIDE and "crack" in self.facts.flags)

    @property
    def decorated(self) -> bool:
        """Fired, painted, gilt or papered: no rough pad."""
        return bool(self.facts.flags & {"fired_label", "painted", "paper_label"})


def knowledge_of(finds: Iterable[Specimen]) -> dict[int, Knowledge]:
    """What is known of each, by key. Five queries for any number of finds, none for an empty list."""
    keys = [find.pk for find in finds]
    if not keys:
        return {}
    return {find.pk: know(find) for find in with_facts(_of_keys(keys))}


def knowledge_as_read(finds: Sequence[Specimen]) -> dict[int, Knowledge]:
    """The same of finds that the caller has just read, each with its sites: they are not read again.

    Of an act on thousands of pieces, which it holds locked. Four queries, none for an empty list.
    """
    prefetch_related_objects(finds, *_facts())
    return {find.pk: know(find) for find in finds}


def _of_keys(keys: list[int]) -> QuerySet[Specimen]:
    """What nobody reads of a piece's knowledge stays in the store: it is long."""
    return Specimen.objects.filter(pk__in=keys).defer("made_ruler", "made_spread")


def with_facts(finds: QuerySet[Specimen]) -> QuerySet[Specimen]:
    """Finds with all that `know` reads of them. Four queries more."""
    return finds.select_related("dive__site", "site").prefetch_related(*_facts())


def _facts() -> list[Any]:
    reports = ConditionReport.objects.order_by("-on", "-pk")
    damages: Any = Prefetch("damages", to_attr=READ_AHEAD["damages"])
    # most lettering says nothing of how to treat the piece, and is left in the store
    telling = Inscription.objects.filter(how__in=list(GATE_OF_LETTERING)).only("find", "how")
    return [
        Prefetch("checks", Check.objects.order_by("-at", "-pk"), READ_AHEAD["checks"]),
        Prefetch("condition_reports", reports.prefetch_related(damages), READ_AHEAD["condition_reports"]),
        Prefetch("inscriptions", telling, READ_AHEAD["inscriptions"]),
    ]


# Rows that `with_facts` read, as lists: Django makes a query set for each find and relation otherwise, which
# is what an act on thousands of pieces waited for.
READ_AHEAD = {
    name: f"{name}_read_ahead" for name in ("checks", "condition_reports", "damages", "inscriptions")
}


def _rows(of: Specimen | ConditionReport, relation: str) -> list[Any]:
    """Its rows of a relation: as read ahead, else read now."""
    ahead: list[Any] | None = of.__dict__.get(READ_AHEAD[relation])
    return list(getattr(of, relation).all()) if ahead is None else ahead


def know(find: Specimen) -> Knowledge:
    """What is known of one piece. No query for what is prefetched on it."""
    known_from: dict[str, str] = {}
    checks: list[Check] = _rows(find, "checks")
    check = next((each for each in checks if not each.in_passing), None)
    reports: list[ConditionReport] = _rows(find, "condition_reports")
    for place, report in enumerate(reversed(reports)):
        newest = place == len(reports) - 1
        for damage in _rows(report, "damages"):
            gate = GATE_OF_DAMAGE.get(damage.kind)
            # A later look at the piece itself overrules what a report said before it.
            if not gate or not (newest or gate in LASTING):
                continue
            if gate in UNTIL_REPORTED or not (check and report.created < check.at):
                known_from[gate] = f"{damage.get_kind_display()} in the report of {day_words(report.on)}"
    for lettering in _rows(find, "inscriptions"):
        if gate := GATE_OF_LETTERING.get(lettering.how):
            known_from.setdefault(gate, f"{lettering.get_how_display()} among its lettering")
    # The last look for everything, and what was noticed in passing since.
    for each in checks:
        if each.in_passing and check and each.at <= check.at:
            continue
        if each.in_passing or each is check:
            known_from |= dict.fromkeys(each.found, f"seen on {day_words(timezone.localdate(each.at))}")
    for gate in UNTIL_REPORTED:
        seen = next((each for each in checks if gate in each.found), None)
        if seen and not (reports and reports[0].created > seen.at):
            known_from[gate] = f"seen on {day_words(timezone.localdate(seen.at))}"
    if find.made_to is not None and find.made_to < EARLY_BEFORE:
        known_from["early"] = f"made {find.made_words}"
    site = find.where_found
    if site is not None and site.holds:
        known_from["hold"] = f"{site} is on hold"
    if find.standing == Specimen.Standing.RETURNED:
        known_from["returned"] = "returned to an authority"
    facts = PieceFacts(frozenset(known_from), check is not None, _growth(reports), find.look)
    return Knowledge(find, facts, known_from)


def _growth(reports: list[ConditionReport]) -> str:
    """From the newest report: none, a trace or under a tenth is light; without any report it is unknown."""
    if not reports:
        return "unknown"
    seen = [d.extent for d in _rows(reports[0], "damages") if d.kind == Damage.Kind.GROWTH]
    return "heavy" if any(extent not in LIGHT for extent in seen) else "light"
