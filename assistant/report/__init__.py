"""A session as Markdown, HTML, JSON, and the few lines at the end of a walk."""

from assistant.report.beside import Beside, PlaceName
from assistant.report.content import content
from assistant.report.errors import ReportError
from assistant.report.rendering import FORMATS, render
from assistant.report.summary import tell

__all__ = [
    "FORMATS",
    "Beside",
    "PlaceName",
    "ReportError",
    "content",
    "render",
    "tell",
]
