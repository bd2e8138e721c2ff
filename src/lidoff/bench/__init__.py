"""The workbench's server: one dossier, open for editing in the pages of a browser.

Knows: the dossier's desk, analyses, drawings, reports, HTTP. Must not know: the command line. What a route answers is worked
out by the rooms below; no rule of the job is written here.
"""

from lidoff.bench.app import create_app, create_inner_app
from lidoff.bench.bench import Bench
from lidoff.bench.built_pages import check_built
from lidoff.bench.serving import Served, open_socket, serve
from lidoff.bench.settings import Settings

__all__ = [
    "Bench",
    "Served",
    "Settings",
    "check_built",
    "create_app",
    "create_inner_app",
    "open_socket",
    "serve",
]
