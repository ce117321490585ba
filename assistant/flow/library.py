"""Where the shipped flows are, and how a flow is named on the command line."""

from pathlib import Path

from assistant.flow.linked import Flow
from assistant.flow.linking import load_flow
from assistant.flow.problems import FlowError, Problem, nearest

VOCABULARY = "vocabulary.yaml"


def shipped(folder: str) -> Path:
    """Give a folder that ships with Rungside: inside the wheel, or beside it in a checkout.

    Args:
        folder: `flows` or `demo_sessions`.
    """
    package = Path(__file__).parent.parent
    inside = package / "_shipped" / folder
    return inside if inside.is_dir() else package.parent / folder


def flow_names() -> tuple[str, ...]:
    """Give the names of the shipped flows."""
    files = shipped("flows").glob("*.yaml")
    return tuple(sorted(file.stem for file in files if file.name != VOCABULARY))


def find_flow(name: str) -> Path:
    """Give the file of a flow named by its id or by its path.

    Raises:
        FlowError: when there is neither.
    """
    path = Path(name)
    if path.suffix in {".yaml", ".yml"} or len(path.parts) > 1:
        return path
    shipped_file = shipped("flows") / f"{name}.yaml"
    if not shipped_file.is_file():
        message = f"There is no flow '{name}'."
        raise FlowError([Problem(path, 1, 1, message, nearest(name, flow_names()), "not-readable")])
    return shipped_file


def open_flow(name: str) -> Flow:
    """Load a flow by its id or by its path.

    A vocabulary beside the flow file is used; the shipped one where there is none.

    Raises:
        FlowError: when it is missing or broken.
    """
    file = find_flow(name)
    beside = file.parent / VOCABULARY
    return load_flow(file, beside if beside.is_file() else shipped("flows") / VOCABULARY)
