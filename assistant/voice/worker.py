"""The process that owns the speech engine: `python -m assistant.voice.worker FOLDER`.

It reads one order a line (JSON) on its standard input and answers with one line of JSON, followed
by a WAV file's bytes when the order was carried out. A thread waits for the end of the input, so
that the process dies with its parent even while the engine hangs. Whatever libraries print goes
nowhere: the answers have a file handle of their own.
"""

import json
import os
import queue
import shutil
import signal
import sys
import threading
from dataclasses import asdict
from pathlib import Path
from typing import Any, BinaryIO

from assistant.errors import RungsideError
from assistant.voice.engines import Engine, EspeakEngine, Order, SystemEngine
from assistant.voice.espeak import Library, Origin, load_library

PACKAGED = "--packaged"


def open_engine(library: Library, folder: Path) -> Engine:
    """Open the engine that goes with the library."""
    if library.origin is Origin.BUILT_IN:
        return SystemEngine(folder)
    return EspeakEngine()


def claim_output() -> BinaryIO:
    """Take standard output for answers alone; what else is printed goes nowhere."""
    answers = os.fdopen(os.dup(1), "wb")
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.close(nowhere)
    return answers


def watch_input(orders: "queue.Queue[bytes]", folder: Path) -> None:
    """Hand over each line; end this process when there will be no more."""
    for line in sys.stdin.buffer:
        orders.put(line)
    shutil.rmtree(folder, ignore_errors=True)
    os._exit(0)


def answer(output: BinaryIO, head: dict[str, Any], sound: bytes = b"") -> None:
    """Write one answer."""
    line = json.dumps(head | {"bytes": len(sound)}).encode()
    output.write(line + b"\n" + sound)
    output.flush()


def carry_out(engine: Engine, line: bytes) -> tuple[dict[str, Any], bytes]:
    """Render what one line orders; give the answer's head and the sound."""
    try:
        return {"why": ""}, engine.render(Order(**json.loads(line)))
    except RungsideError as trouble:
        return {"why": trouble.message, "hint": trouble.hint}, b""
    except Exception as trouble:  # noqa: BLE001 - an engine may raise anything; the parent decides
        return {"why": f"The speech engine failed ({type(trouble).__name__}: {trouble})."}, b""


def main() -> None:
    """Serve orders until the input ends."""
    output = claim_output()
    # Ctrl-C is the parent's business; the end of the input tells this process when to go.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    folder = Path(sys.argv[1])
    orders: queue.Queue[bytes] = queue.Queue()
    threading.Thread(target=watch_input, args=(orders, folder), daemon=True).start()
    try:
        library = load_library(is_packaged_wanted=PACKAGED in sys.argv)
        engine = open_engine(library, folder)
    except RungsideError as trouble:
        answer(output, {"why": trouble.message, "hint": trouble.hint})
        return
    except Exception as trouble:  # noqa: BLE001 - an engine may raise anything; the parent decides
        answer(output, {"why": f"The speech engine does not start ({trouble})."})
        return
    facts = asdict(library) | {"engine": engine.name, "voices": engine.voices}
    answer(output, {"why": ""} | facts)
    while True:
        head, sound = carry_out(engine, orders.get())
        answer(output, head, sound)


if __name__ == "__main__":
    main()
