"""Which source file takes names from which, and where that runs in a circle."""

import re
from collections.abc import Iterator
from pathlib import Path

Name = tuple[str, ...]

DEFINED = re.compile(
    r"^(?:    )?(?:pub )?(?:const |async )*"
    r"(?:struct|enum|trait|fn|const|static|type|union|macro_rules!) (\w+)",
    re.MULTILINE,
)
USE = re.compile(r"^[ \t]*(pub )?use ([^;]+);", re.MULTILINE)
CHILD = re.compile(r"^(?:pub )?mod (\w+);", re.MULTILINE)
TEXT = re.compile(r"""//[^\n]*|'\\?"'|"(?:\\.|[^"\\])*\"""", re.DOTALL)
# A name that a module hands on and uses itself; the same word may also be a field, a method or a variant.
USED = r"(?<![\w.:]){0}\b(?!\s*:[^:]|\s*,)"
INLINE = re.compile(r"\b(?:crate|super|self)(?:::\w+)+")


def leaves(tree: str) -> Iterator[Name]:
    """The paths of a `use` tree, each with the name it is known by as its last word."""
    tree = tree.strip()
    opening = tree.find("{")
    if opening < 0:
        path, _, alias = tree.partition(" as ")
        words = tuple(path.split("::"))
        yield (*words, alias.strip() or words[-1])
        return
    head = tuple(word for word in tree[:opening].split("::") if word)
    depth, start = 0, opening + 1
    for place in range(opening, len(tree)):
        depth += (tree[place] == "{") - (tree[place] == "}")
        if (tree[place] == "," and depth == 1) or depth == 0:
            if tree[start:place].strip():
                for *rest, name in leaves(tree[start:place]):
                    if rest == ["self"]:
                        yield (*head, head[-1] if name == "self" else name)
                    else:
                        yield (*head, *rest, name)
            start = place + 1
        if depth == 0:
            return


class Module:
    def __init__(self, path: Path, name: Name) -> None:
        # Neither comments nor texts use anything, and tests may use everything.
        text = TEXT.sub('""', path.read_text(encoding="utf-8"))
        text = re.sub(r"\bpub\([^)]*\)", "pub", text)
        text = re.sub(r"#\[cfg\(test\)\]\s*(?:#\[[^\]]*\]\s*)*mod \w+;", "", text)
        self.file = path
        self.name = name
        self.children = set(CHILD.findall(text))
        self.defined = set(DEFINED.findall(text))
        self.body = USE.sub("", text)
        self.uses = [(bool(public), leaf) for public, tree in USE.findall(text) for leaf in leaves(tree)]


class Tree:
    """The modules of a crate, and which of them takes names from which."""

    def __init__(self, root: Path) -> None:
        self.modules: dict[Name, Module] = {}
        for path in sorted(root.rglob("*.rs")):
            parts = path.relative_to(root).with_suffix("").parts
            if parts[-1].endswith("tests"):
                continue
            name = parts[:-1] if parts[-1] in ("mod", "lib") else parts
            self.modules[name] = Module(path, name)

    def absolute(self, module: Module, path: Name) -> Name | None:
        """A path as seen from the root, or nothing if it leads out of the crate."""
        if path[0] == "crate":
            return path[1:]
        if path[0] == "self":
            return module.name + path[1:]
        here = module.name
        while path and path[0] == "super":
            here, path = here[:-1], path[1:]
            if not path or path[0] != "super":
                return here + path
        return module.name + path if path[0] in module.children else None

    def home(self, path: Name, seen: frozenset[tuple[Name, str]] = frozenset()) -> Name | None:
        """The module in which what a path names is written, past everything that only hands it on."""
        here: Name = ()
        for number, word in enumerate(path):
            module = self.modules[here]
            if (*here, word) in self.modules:
                here = (*here, word)
                continue
            if word in module.defined or (here, word) in seen:
                return here
            seen |= {(here, word)}
            for _, (*taken, name) in module.uses:
                target = self.absolute(module, tuple(taken))
                if target is None or name not in (word, "*"):
                    continue
                if name == "*":
                    target = (*target[:-1], word)
                found = self.home(target + path[number + 1 :] if name != "*" else target, seen)
                if found is not None and (name != "*" or word in self.modules[found].defined):
                    return found
            return here
        return here

    def taken(self, module: Module) -> set[Name]:
        """The modules from which one takes names. What it only hands on, it does not take."""
        paths = []
        for public, (*path, name) in module.uses:
            if path[-1] == "*":
                if not public:
                    paths.append(path[:-1])
            elif not public or re.search(USED.format(name), module.body):
                paths.append(path)
        paths += [found.split("::") for found in INLINE.findall(module.body)]
        for child in module.children:
            paths += [found.split("::") for found in re.findall(rf"(?<![:\w]){child}(?:::\w+)+", module.body)]
        homes = {self.home(target) for path in paths if (target := self.absolute(module, tuple(path))) is not None}
        return {home for home in homes if home is not None} - {module.name}


def circle(edges: dict[Name, set[Name]]) -> list[Name]:
    """One circle of these edges, found depth first; empty if there is none."""
    done: set[Name] = set()

    def follow(node: Name, way: list[Name]) -> list[Name]:
        if node in way:
            return [*way[way.index(node) :], node]
        if node in done:
            return []
        for other in sorted(edges.get(node, ())):
            if found := follow(other, [*way, node]):
                return found
        done.add(node)
        return []

    for node in sorted(edges):
        if found := follow(node, []):
            return found
    return []


def circles(root: Path) -> dict[Name, list[Name]]:
    """For each folder that has one, a circle among its files and folders. A folder counts as one with all below it."""
    tree = Tree(root)
    taken = {name: tree.taken(module) for name, module in tree.modules.items()}
    folders = {name[:length] for name in tree.modules for length in range(len(name))}
    found = {}
    for folder in sorted(folders):
        below = len(folder)
        edges: dict[Name, set[Name]] = {}
        for name, others in taken.items():
            if name[:below] == folder:
                unit = name[: below + 1]
                inside = {other[: below + 1] for other in others if other[:below] == folder}
                edges.setdefault(unit, set()).update(inside - {unit})
        if way := circle(edges):
            found[folder] = way
    return found
