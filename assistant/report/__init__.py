"""A session as Markdown, HTML, JSON, and the few lines at the end of a walk."""

from assistant.report.content import content
from assistant.report.errors import ReportError
from assistant.report.rendering import FORMATS, render
from assistant.report.summary import tell

__all__ = ["FORMATS", "ReportError", "content", "render", "tell"]
