"""`Analysis` → what people read: one web page, a PDF, a summary for the terminal, and tables for spreadsheets.

This room knows chapters, pages, charts and files to be read. It does not know the web server, nor how to find anything
out: all numbers come with the analysis.
"""

from lidoff.report.boards import BoardPicture, BoardView, board_views
from lidoff.report.chapter import Chapter, all_chapters, chapters_in_order
from lidoff.report.charts import claims_chart, fits_chart
from lidoff.report.contrasted import contrast_text
from lidoff.report.explained import explained_text
from lidoff.report.filming import SIZES, still_svg, stills_png, story_of, write_stills
from lidoff.report.ipc_d_356 import ipc_d_356
from lidoff.report.logchart import log_chart, log_file_svg
from lidoff.report.logwords import log_text
from lidoff.report.model import (
    Block,
    Cell,
    Column,
    Facts,
    Figure,
    Item,
    Items,
    Notice,
    Paragraph,
    Picture,
    ReportPages,
    Row,
    Section,
    Subheading,
    Table,
    Tone,
    VerdictRow,
    Verdicts,
    Working,
    Workings,
)
from lidoff.report.packing import dossier_zip
from lidoff.report.pages import pages_of
from lidoff.report.paper import pdf_of
from lidoff.report.plain_tables import claims_csv, findings_csv, hazards_csv, netlist_text, sums_csv
from lidoff.report.plotfile import write_log_plot
from lidoff.report.reasoned import next_text, slips_text
from lidoff.report.scene import Scene, Still, Story, all_scenes, missing_scenes, stills_of
from lidoff.report.stage import Stage, stage_of
from lidoff.report.summary import summary_text
from lidoff.report.tables import currents_csv, nets_csv, parts_csv, readings_csv
from lidoff.report.walk import walk_html
from lidoff.report.web import html_of
from lidoff.report.writing import write_report

__all__ = [
    "SIZES",
    "Block",
    "BoardPicture",
    "BoardView",
    "Cell",
    "Chapter",
    "Column",
    "Facts",
    "Figure",
    "Item",
    "Items",
    "Notice",
    "Paragraph",
    "Picture",
    "ReportPages",
    "Row",
    "Scene",
    "Section",
    "Stage",
    "Still",
    "Story",
    "Subheading",
    "Table",
    "Tone",
    "VerdictRow",
    "Verdicts",
    "Working",
    "Workings",
    "all_chapters",
    "all_scenes",
    "board_views",
    "chapters_in_order",
    "claims_chart",
    "claims_csv",
    "contrast_text",
    "currents_csv",
    "dossier_zip",
    "explained_text",
    "findings_csv",
    "fits_chart",
    "hazards_csv",
    "html_of",
    "ipc_d_356",
    "log_chart",
    "log_file_svg",
    "log_text",
    "missing_scenes",
    "netlist_text",
    "nets_csv",
    "next_text",
    "pages_of",
    "parts_csv",
    "pdf_of",
    "readings_csv",
    "slips_text",
    "stage_of",
    "still_svg",
    "stills_of",
    "stills_png",
    "story_of",
    "summary_text",
    "sums_csv",
    "walk_html",
    "write_log_plot",
    "write_report",
    "write_stills",
]
