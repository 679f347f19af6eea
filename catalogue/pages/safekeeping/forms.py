"""Where backups go, a backup to one file, and which one is to be restored."""

from pathlib import Path
from typing import Any

from django import forms

from catalogue.common.forms import HouseForm
from catalogue.exchange.backup.days import refusal
from catalogue.exchange.backup.locked import SHORTEST
from catalogue.exchange.backup.sent import SentRefused, take_whole
from catalogue.exchange.models import BackupPlan

PATH_LENGTH = 900
TOO_LARGE_UNSENT = (
    "Larger than 80 MB, it is sent by script alone, which this browser does not run. Copy it to the "
    "catalogue's machine and write where it lies."
)


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
    """Which backup is to be checked and take the place of what is here: on this machine, or sent."""

    file = forms.CharField(
        label="Backup on the catalogue's machine",
        required=False,
        max_length=PATH_LENGTH,
        help_text="A zip, or the folder of a day: the whole way to it.",
    )
    sent = forms.FileField(
        label="Or one on the machine that you sit at",
        required=False,
        widget=forms.FileInput(attrs={"accept": ".zip,application/zip"}),
        help_text="The zip is sent to the catalogue first, however large; what is sent is taken away again.",
    )
    password = forms.CharField(
        label="Its password",
        required=False,
        max_length=200,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "off"}),
        help_text="Only where it was locked with one.",
    )

    def __init__(self, *args: Any, too_large: bool = False, **kwargs: Any) -> None:
        """`too_large`: a file was on its way without script, and passed the limit of all files."""
        super().__init__(*args, **kwargs)
        self.too_large = too_large

    def clean_file(self) -> str:
        said = str(self.cleaned_data["file"]).strip()
        path = Path(said).expanduser()
        if said and (not path.is_absolute() or not path.exists()):
            raise forms.ValidationError("There is no such file or folder on this machine just now.")
        return str(path) if said else ""

    def clean(self) -> dict[str, Any]:
        """One of the two; a file that came with the form itself is taken like one that came in parts."""
        cleaned = super().clean() or self.cleaned_data
        sent = cleaned.get("sent")
        if self.too_large:
            self.add_error("sent", TOO_LARGE_UNSENT)
        elif cleaned.get("file") and sent:
            self.add_error("sent", "Choose one of the two.")
        elif sent:
            try:
                cleaned["file"] = str(take_whole(sent.size, sent))
            except SentRefused as why:
                self.add_error("sent", str(why))
        elif not cleaned.get("file") and not self.errors:
            self.add_error("file", "Write where the backup lies, or choose one below.")
        return cleaned
