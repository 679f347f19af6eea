"""What an attack has to say: one line for each thing that was tried, and a count as its last line."""

from dataclasses import dataclass, field


@dataclass
class Report:
    """The lines of one attack."""

    name: str
    tried: int = 0
    bad: list[str] = field(default_factory=list)

    def check(self, holds: object, what: str, told: object = "") -> bool:
        """Print what was tried, with BAD before it where it does not hold; whether it holds."""
        self.tried += 1
        shown = f"{what} [{told}]" if told != "" else what
        print(f"{'ok  ' if holds else 'BAD '} {shown}", flush=True)
        if not holds:
            self.bad.append(what)
        return bool(holds)

    def left_out(self, what: str, why: str) -> None:
        """Print what could not be tried here."""
        print(f"     {what}: not tried, {why}", flush=True)

    def end(self) -> int:
        """Print the count; how many were BAD."""
        print(f"{self.name}: {self.tried} tried, {len(self.bad)} BAD", flush=True)
        return len(self.bad)
