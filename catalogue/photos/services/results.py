"""What became of several pictures sent together."""

from dataclasses import dataclass, field

from catalogue.photos.models import Photo


@dataclass(frozen=True, slots=True)
class Failed:
    """A picture that was not taken in, and the sentence saying why."""

    name: str
    why: str

    def __str__(self) -> str:
        return f"{self.name}: {self.why}" if self.name else self.why


@dataclass(slots=True)
class Results:
    """The pictures taken in, and those that were not."""

    taken: list[Photo] = field(default_factory=list)
    failed: list[Failed] = field(default_factory=list)
