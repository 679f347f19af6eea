"""What to take care with, noticed while recording; the look for everything is asked at the bench."""

from django import forms

from catalogue.care.care_tables import care_tables
from catalogue.common.forms import HouseForm

# The keys of gates in the words of whoever has the piece in hand; the first four are the usual ones.
NOTICED = {
    "sealed": "sealed",
    "living": "something alive",
    "crack": "cracked",
    "sulphide": "smells of bad eggs",
    "munition": "may be munition",
    "remains": "bones or ashes",
    "metal": "metal or rust",
    "unstable": "flaking",
}


class HazardsForm(HouseForm):
    """Ticked is noticed; nothing ticked says nothing."""

    noticed = forms.MultipleChoiceField(
        label="Anything to take care with?", required=False, choices=list(NOTICED.items())
    )

    def hazards(self) -> list[str]:
        """The keys of the gates that were ticked, in the order of the table."""
        ticked = self.cleaned_data["noticed"]
        return [key for key in care_tables().gates if key in ticked]
