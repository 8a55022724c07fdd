"""Writes the docstrings of the installed package into its stubs, so that editors show them.

The types in the stubs are written by hand; the docstrings are those of the compiled module. Run by `make stubs`;
with `--check` nothing is written, and the exit code says whether the stubs are as they should be.
"""

import ast
import inspect
import sys
import textwrap
from importlib import import_module
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent / "yokewright"
# Columns of a line, as the linter has them.
WIDTH = 120

Documented = ast.ClassDef | ast.FunctionDef


def parts(tree: ast.Module, module: Any) -> list[tuple[Documented, Any]]:
    """Each class, function, method and property that the stub declares, beside what it is at run time."""
    found: list[tuple[Documented, Any]] = []
    for node in tree.body:
        if not isinstance(node, Documented) or not hasattr(module, node.name):
            continue
        thing = getattr(module, node.name)
        found.append((node, thing))
        if isinstance(node, ast.ClassDef):
            # Of a method with overloads, the first.
            methods = {part.name: part for part in reversed(node.body) if isinstance(part, ast.FunctionDef)}
            found += [
                (part, vars(thing)[name])
                for name, part in methods.items()
                if name in vars(thing) and not name.startswith("__")
            ]
    return found


def docstring(thing: Any) -> str:
    """The docstring at run time, of a static method too; empty if there is none."""
    own = thing.__func__ if isinstance(thing, (staticmethod, classmethod)) else thing
    return inspect.cleandoc(own.__doc__ or "")


def literal(text: str, indent: str) -> list[str]:
    """The lines of a docstring as they stand in the stub: prose filled to the width, examples as they are."""
    lines: list[str] = []
    for paragraph in text.split("\n\n"):
        rows = paragraph.splitlines()
        kept = any(row.startswith((">>>", "---", "- ", " ")) for row in rows)
        # Room for the quotes, which stand in the first line, and in a short text in the last.
        filled = textwrap.wrap(" ".join(rows), WIDTH - len(indent) - 8, break_long_words=False, break_on_hyphens=False)
        lines += [*(rows if kept else filled), ""]
    lines.pop()
    quotes = '"""'
    start = "r" + quotes if "\\" in text else quotes
    # Four quotes in a row would end it.
    start += " " * text.startswith('"')
    if len(lines) == 1:
        end = " " * text.endswith('"') + quotes
        return [f"{indent}{start}{lines[0]}{end}"]
    body = [f"{indent}{line}".rstrip() for line in lines[1:]]
    return [f"{indent}{start}{lines[0]}", *body, f"{indent}{quotes}"]


def with_docs(source: str, module: Any) -> str:
    """The stub with the docstrings of the module in place of those that it has."""
    lines = source.splitlines()
    tree = ast.parse(source)
    # From the end, so that the lines before stay where they are.
    for node, thing in sorted(parts(tree, module), key=lambda pair: pair[0].lineno, reverse=True):
        first = node.body[0]
        old = isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant) and first.value.value is not ...
        text = docstring(thing)
        indent = " " * (node.col_offset + 4)
        new = literal(text, indent) if text else []
        if old:
            only = len(node.body) == 1
            lines[first.lineno - 1 : first.end_lineno] = new or ([f"{indent}..."] if only else [])
        elif new and isinstance(node, ast.ClassDef) and first.lineno > node.lineno:
            # The decorators of the first member stand before it.
            top = min([first.lineno, *(one.lineno for one in getattr(first, "decorator_list", []))])
            lines[top - 1 : top - 1] = new
        elif new:
            # `...` at the end of the head, alone in its line or not.
            line = first.lineno - 1
            head = lines[line][: first.col_offset].rstrip()
            lines[line : line + 1] = [head, *new] if head else new
    return "\n".join(lines) + "\n"


def main() -> int:
    """Writes the stubs that have changed, or tells of them."""
    check = "--check" in sys.argv[1:]
    changed = 0
    for path in sorted(FOLDER.glob("*.pyi")):
        source = path.read_text(encoding="utf-8")
        written = with_docs(source, import_module(f"yokewright.{path.stem}"))
        if written != source:
            changed += 1
            print(f"{path.name} has other docstrings than the wheel" if check else f"{path.name} written")
            if not check:
                path.write_text(written, encoding="utf-8")
    return int(check and changed > 0)


if __name__ == "__main__":
    sys.exit(main())
