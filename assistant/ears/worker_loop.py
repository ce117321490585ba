"""What runs inside each worker process: requests in, answers out, until the input ends."""

import json
import os
import sys
from collections.abc import Callable, Mapping
from typing import Any, BinaryIO, TypeAlias

Answer: TypeAlias = dict[str, object] | None
"""What a request is answered with; None: nothing is said."""

Doing: TypeAlias = Callable[[dict[str, Any], bytes], Answer]
"""Carries out one kind of request, given the request and its sound."""


def serve(todo: Mapping[str, Doing], requests: BinaryIO, answers: BinaryIO) -> None:
    """Answer requests until there are no more.

    Args:
        todo: what to do for each `do` of a request.
        requests: lines of JSON, each followed by its sound.
        answers: gets one line of JSON for each request that is answered.
    """
    for line in requests:
        request = json.loads(line)
        sound = requests.read(request.get("bytes", 0))
        answer = todo[request["do"]](request, sound)
        if answer is not None:
            _write(answers, answer)


def run(make: Callable[[str], Mapping[str, Doing]]) -> None:
    """Run a worker on the folder that the command line names.

    A library writes where it likes, so its output is turned to the error stream first.
    """
    answers = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    todo = make(sys.argv[1])
    _write(answers, {})
    serve(todo, sys.stdin.buffer, answers)


def _write(answers: BinaryIO, answer: dict[str, object]) -> None:
    answers.write(json.dumps(answer).encode() + b"\n")
    answers.flush()
