"""Where backups go, a backup to one file, and which one is to be restored."""

from pathlib import Path
from typing import Any

from django import forms

from catalogue.common.forms import HouseForm
from catalogue.exchange.backup.days import refusal
from catalogue.exchange.backup.locked import SHORTEST
from catalogue.exchange.models import BackupPlan

PATH_LENGTH = 900


class BackupPlaceForm(HouseForm):
    """Where the backup of each day goes, and how many days are kept."""

    place = forms.CharField(
        label="Folder of backups",
        max_length=PATH_LENGTH,
        help_text="On another disk than the catalogue: a stick, a disk on the network. Write the whole way.",
    )
    keep_days = forms.IntegerField(
        label="Days kept",
        min_value=1,
        max_value=3650,
        help_text="You can go back to any of them. Pictures are copied once, however many days have them.",
    )

    def clean_place(self) -> str:
        place = str(self.cleaned_data["place"]).strip()
        if why := refusal(Path(place).expanduser()):
            raise forms.ValidationError(why)
        return str(Path(place).expanduser())

    def save(self) -> BackupPlan:
        """Keep the choice; what was found amiss in another folder says nothing of this one."""
        plan = BackupPlan.current()
        place = self.cleaned_data["place"]
        if place != plan.place:
            plan.trouble = plan.found_amiss = ""
            plan.looked_through_at = None
        plan.place, plan.keep_days = place, self.cleaned_data["keep_days"]
        plan.save()
        return plan


class OneFileForm(HouseForm):
    """A backup to one file on this machine, under a password or not."""

    file = forms.CharField(
        label="File",
        max_length=PATH_LENGTH,
        help_text="A zip that is not there yet, with the whole way to it: /media/stick/bottles.zip.",
    )
    password = forms.CharField(
        label="Password",
        required=False,
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="Leave empty for none. If it is lost, nobody can open the backup: there is no way back.",
    )
    once_more = forms.CharField(
        label="Password once more",
        required=False,
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def clean_file(self) -> str:
        path = Path(str(self.cleaned_data["file"]).strip()).expanduser()
        if not path.is_absolute():
            raise forms.ValidationError("Write the whole way to the file, from the root of the disk.")
        if path.suffix.lower() != ".zip":
            raise forms.ValidationError("End the name with .zip, so that others know what it is.")
        if path.exists():
            raise forms.ValidationError("There is such a file already: choose another name.")
        if not path.parent.is_dir():
            raise forms.ValidationError(f"There is no folder {path.parent} on this machine just now.")
        return str(path)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        first, second = cleaned.get("password") or "", cleaned.get("once_more") or ""
        if first and len(first) < SHORTEST:
            self.add_error("password", f"Take at least {SHORTEST} signs: a few words are good.")
        elif first != second:
            self.add_error("once_more", "The two are not the same: type both again.")
        return cleaned


class RestoreForm(HouseForm):
    """Which backup is to be checked and put in the place of what is here."""

    file = forms.CharField(
        label="Backup",
        max_length=PATH_LENGTH,
        help_text="A zip, or the folder of a day, on this machine: the whole way to it.",
    )
    password = forms.CharField(
        label="Its password",
        required=False,
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "off"}),
        help_text="Only where it was locked with one.",
    )

    def clean_file(self) -> str:
        path = Path(str(self.cleaned_data["file"]).strip()).expanduser()
        if not path.is_absolute() or not path.exists():
            raise forms.ValidationError("There is no such file or folder on this machine just now.")
        return str(path)
