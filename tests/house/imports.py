"""What imports what, read from the code as text."""

import ast
from collections import defaultdict
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


@cache
def parsed(text: str) -> ast.Module:
    """The tree of a file's text: parsed once for all that read the whole house, and never changed."""
    return ast.parse(text)


def imported(path: Path, root: Path = ROOT) -> set[str]:
    """Every module named in an import of a file, also inside functions; relative ones made whole."""
    package = path.relative_to(root).with_suffix("").parts
    names: set[str] = set()
    for node in ast.walk(parsed(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = list(package[: len(package) - node.level]) if node.level else []
            module = ".".join([*base, *([node.module] if node.module else [])])
            names.add(module)
            names |= {f"{module}.{alias.name}" for alias in node.names}
    return names


def files_of(app: str) -> list[Path]:
    """The code of one app without its migrations."""
    return [p for p in (ROOT / "catalogue" / app).rglob("*.py") if "migrations" not in p.parts]


def package_of(module: str, root: Path) -> str | None:
    """The package whose folder holds a module's file; None for anything outside the project."""
    parts = module.split(".")
    while parts and parts[0] in {"catalogue", "dating"}:
        path = root.joinpath(*parts)
        if path.is_dir():
            return ".".join(parts)
        if path.with_suffix(".py").is_file():
            return ".".join(parts[:-1])
        parts.pop()  # a name inside a module
    return None


def package_imports(root: Path = ROOT) -> dict[str, set[str]]:
    """For each package the other packages that its files import, itself and the migrations left out."""
    graph: dict[str, set[str]] = defaultdict(set)
    for top in ("catalogue", "dating"):
        for path in sorted((root / top).rglob("*.py")):
            if "migrations" in path.parts:
                continue
            here = ".".join(path.parent.relative_to(root).parts)
            for module in imported(path, root):
                there = package_of(module, root)
                if there and there != here:
                    graph[here].add(there)
    return graph


def module_imports(root: Path = ROOT) -> dict[str, set[str]]:
    """For each module the modules of the project that it imports when it runs, also inside functions.

    Where a package hands on a submodule (`from package import module`) the submodule is meant. Imports for
    the type checker alone are left out: they tie nothing at run time.
    """
    files = {}
    for top in ("catalogue", "dating"):
        for path in sorted((root / top).rglob("*.py")):
            if "migrations" not in path.parts:
                parts = path.relative_to(root).with_suffix("").parts
                files[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    graph: dict[str, set[str]] = {module: set() for module in files}
    for module, path in files.items():
        tree = parsed(path.read_text(encoding="utf-8"))
        for_types = {
            inner
            for node in ast.walk(tree)
            if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test)
            for inner in ast.walk(node)
        }
        package = path.relative_to(root).with_suffix("").parts
        for node in ast.walk(tree):
            if node in for_types:
                continue
            if isinstance(node, ast.Import):
                graph[module] |= {alias.name for alias in node.names} & files.keys()
            elif isinstance(node, ast.ImportFrom):
                base = list(package[: len(package) - node.level]) if node.level else []
                source = ".".join([*base, *([node.module] if node.module else [])])
                for alias in node.names:
                    whole = f"{source}.{alias.name}"
                    graph[module] |= {whole if whole in files else source} & files.keys()
        graph[module].discard(module)
    return graph


def rings_of(graph: dict[str, set[str]]) -> list[list[str]]:
    """Rings of a graph, one after another; none where there is an order from low to high."""
    graph = {node: set(others) for node, others in graph.items()}
    rings = []
    while True:
        try:
            TopologicalSorter(graph).prepare()
        except CycleError as found:
            *ring, again = found.args[1]
            rings.append(sorted(ring))
            # graphlib names a ring so that each is imported by the next: one arrow of it is taken out
            graph[ring[1]].discard(again)
        else:
            return rings


def package_rings(root: Path = ROOT) -> list[list[str]]:
    """Packages that import each other in a ring.

    A package and what lies inside it are one house with rooms: arrows between the two do not count here;
    between single modules they do.
    """
    graph = {
        here: {o for o in others if not (o + ".").startswith(here + ".") and not here.startswith(o + ".")}
        for here, others in package_imports(root).items()
    }
    return rings_of(graph)
