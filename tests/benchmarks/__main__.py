"""``python -m tests.benchmarks NAME [number]`` or ``NAME --finds number``: run one measurement."""

import importlib
import pkgutil
import sys

import tests.benchmarks


def main() -> int:
    """Run the named measurement; without a name, list them."""
    modules = (module.name for module in pkgutil.iter_modules(tests.benchmarks.__path__))
    names = sorted(name for name in modules if not name.startswith("_"))
    if len(sys.argv) < 2 or sys.argv[1] not in names:
        print(
            f"usage: python -m tests.benchmarks {{{','.join(names)}}} [number | --finds number]",
            file=sys.stderr,
        )
        return 2
    run = importlib.import_module(f"tests.benchmarks.{sys.argv[1]}").main
    given = sys.argv[2:]
    named = {word.removeprefix("--"): int(value) for word, value in zip(given, given[1:], strict=False)
             if word.startswith("--")}  # fmt: skip
    run(*(() if named else (int(word) for word in given)), **named)
    return 0


if __name__ == "__main__":
    sys.exit(main())
