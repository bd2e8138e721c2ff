"""How the site is built: ``sphinx-build docs build/docs``."""

from importlib.metadata import version as version_of

project = "lidoff"
author = "lidoff contributors"
release = version_of("lidoff")
extensions = ["myst_parser", "sphinx.ext.autodoc", "numpydoc"]
exclude_patterns = ["pictures"]
myst_enable_extensions = ["colon_fence", "deflist", "dollarmath"]
myst_heading_anchors = 3
numpydoc_class_members_toctree = False
numpydoc_show_class_members = False
autodoc_typehints = "none"  # the docstrings tell each type with its unit
autodoc_member_order = "bysource"
html_theme = "alabaster"
html_title = "lidoff"
html_static_path = [
    "_static",
    "../src/lidoff/fonts/OpenSans-Regular.ttf",
    "../src/lidoff/fonts/OpenSans-Semibold.ttf",
]
html_css_files = ["site.css"]
html_theme_options = {
    "description": "Evidence from a teardown",
    "fixed_sidebar": True,
    "show_powered_by": False,
    "page_width": "78rem",
    "sidebar_width": "17rem",
}
html_sidebars = {"**": ["about.html", "searchfield.html", "navigation.html"]}
html_copy_source = False
html_show_copyright = False
suppress_warnings = ["misc.highlighting_failure"]  # … in an example stands for more of the same
