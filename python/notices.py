"""Write THIRD_PARTY_NOTICES.txt: the licences of the Rust crates that are linked into the wheel.

`python notices.py` writes it, `python notices.py --check` fails if it is not as it would be written.
"""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
NOTICES = ROOT / "THIRD_PARTY_NOTICES.txt"
HEAD = """\
The compiled half of this package contains the Rust crates below, unchanged, under the licences given with each. Where
a crate offers a choice, MIT is taken if it is among them. The standard library of Rust is linked in as well, under MIT
or Apache 2.0.
"""
RULE = "-" * 80


def told_by_cargo(*arguments: str) -> str:
    """What a cargo command prints."""
    command = ["cargo", *arguments, "--locked", "--features", "python"]
    return subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.PIPE, encoding="utf-8").stdout


def linked() -> list[dict[str, Any]]:
    """The crates that end up in the binary, on any platform: neither for builds and tests, nor compiler plug-ins."""
    tree = told_by_cargo(
        *("tree", "--edges", "normal,no-proc-macro", "--target", "all", "--prefix", "none", "--format", "{p}")
    )
    versions = {tuple(line.split()[:2]) for line in tree.splitlines() if line}
    packages = json.loads(told_by_cargo("metadata", "--format-version", "1"))["packages"]
    # Our own has no source: it is not from a registry.
    crates = [
        package for package in packages if package["source"] and (package["name"], f"v{package['version']}") in versions
    ]
    return sorted(crates, key=lambda crate: (crate["name"], crate["version"]))


def texts(crate: dict[str, Any]) -> list[str]:
    """Texts of the licence that is taken, as the crate brings them along."""
    folder = Path(crate["manifest_path"]).parent
    names = ("LICENSE", "LICENCE", "COPYING", "NOTICE", "UNLICENSE")
    files = sorted(path for path in folder.iterdir() if path.is_file() and path.name.upper().startswith(names))
    by_mit = [path for path in files if "MIT" in path.name.upper()]
    taken = by_mit if "MIT" in (crate["license"] or "") and by_mit else files
    return [path.read_text(encoding="utf-8", errors="replace").strip() for path in taken]


def notices() -> str:
    """The whole file: crates that bring the same text share it."""
    of_text: dict[str, list[str]] = {}
    for crate in linked():
        line = f"{crate['name']} {crate['version']}: {crate['license'] or 'see below'}"
        text = "\n\n".join(texts(crate)) or "(The crate brings no text of its licence along.)"
        of_text.setdefault("\n".join(part.rstrip() for part in text.splitlines()), []).append(line)
    blocks = [f"{RULE}\n" + "\n".join(lines) + f"\n{RULE}\n\n{text}\n" for text, lines in of_text.items()]
    return "\n".join([HEAD, *blocks])


def main() -> int:
    """Write the file, or compare."""
    text = notices()
    if sys.argv[1:] == ["--check"]:
        if not NOTICES.is_file() or NOTICES.read_text(encoding="utf-8") != text:
            print(f"{NOTICES.name} is not that of Cargo.lock; `make notices` writes it", file=sys.stderr)
            return 1
        return 0
    NOTICES.write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
