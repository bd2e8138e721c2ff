"""Showing a page to whoever typed the command, where there is a screen to show it on."""

from __future__ import annotations

from collections.abc import Mapping

__all__ = ["has_screen", "show_in_browser"]


def show_in_browser(address: str) -> None:
    """Open a page in the browser of this computer; does nothing where that could not be seen.

    Parameters
    ----------
    address : str
        Of the page.
    """
    if has_screen():
        import webbrowser

        webbrowser.open(address)


def has_screen(environment: Mapping[str, str] | None = None, platform: str | None = None) -> bool:
    """Whether there is a screen that a browser could open on.

    Parameters
    ----------
    environment : mapping of str to str, optional
        Environment variables; those of this process if not given.
    platform : str, optional
        As `sys.platform` names it; that of this process if not given.

    Returns
    -------
    bool
        Without a screen, a browser that runs in the terminal would take it over.
    """
    import os
    import sys

    environment = os.environ if environment is None else environment
    platform = sys.platform if platform is None else platform
    if platform in ("darwin", "win32"):
        return "SSH_CONNECTION" not in environment
    return bool(environment.get("DISPLAY") or environment.get("WAYLAND_DISPLAY"))
