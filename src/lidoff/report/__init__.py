"""`Analysis` → what people read: one web page, a PDF, a summary for the terminal, and tables for spreadsheets.

This room knows chapters, pages, charts and files to be read. It does not know the web server, nor how to find anything
out: all numbers come with the analysis.
"""

from lidoff.report.chapter import Chapter, all_chapters, chapters_in_order
from lidoff.report.charts import claims_chart, fits_chart
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
)
from lidoff.report.pages import pages_of
from lidoff.report.paper import pdf_of
from lidoff.report.summary import summary_text
from lidoff.report.tables import nets_csv, parts_csv, readings_csv
from lidoff.report.web import html_of
from lidoff.report.writing import write_report

__all__ = [
    "Block",
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
    "Section",
    "Subheading",
    "Table",
    "Tone",
    "VerdictRow",
    "Verdicts",
    "all_chapters",
    "chapters_in_order",
    "claims_chart",
    "fits_chart",
    "html_of",
    "nets_csv",
    "pages_of",
    "parts_csv",
    "pdf_of",
    "readings_csv",
    "summary_text",
    "write_report",
]
