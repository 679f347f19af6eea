"""Stage and standing."""

from catalogue.specimens.models import Specimen


def set_stage(find: Specimen, stage: str) -> Specimen:
    """Any order, any skipped. Raises ValueError for a word that is no stage."""
    find.stage = Specimen.Stage(stage).value
    find.save(update_fields=["stage"])
    return find


def set_standing(find: Specimen, standing: str) -> Specimen:
    """Change the standing alone; promises and hand-overs have their own services in the giving room.

    Raises ValueError for a word that is no standing.
    """
    find.standing = Specimen.Standing(standing).value
    find.save(update_fields=["standing"])
    return find
