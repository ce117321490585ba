"""From files to one flow: includes expanded, phrases filled in, every name resolved."""

from collections.abc import Iterator, Mapping
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError

from assistant.flow.clauses import AnswerIs, Case, Clause
from assistant.flow.fitting import check_cautions, check_step_name
from assistant.flow.judging import CONTINUE, Rule, RuleModel
from assistant.flow.linked import Flow, GateStep, LinkedStep, Origin
from assistant.flow.model import (
    END,
    RETURN,
    STOP,
    TO_FLOW,
    Answer,
    Caution,
    DecideStep,
    DoStep,
    Finding,
    FlowFile,
    IncludeStep,
    JudgedStep,
    ObserveStep,
    SpokenStep,
    Step,
    StepBase,
)
from assistant.flow.names import check_names
from assistant.flow.plain import Where
from assistant.flow.problems import FlowError, Problem, nearest
from assistant.flow.safety import check_vocabulary
from assistant.flow.source import Source, model_problems, read_source, source_of
from assistant.flow.vocabulary import Vocabulary

_Model = TypeVar("_Model", bound=BaseModel)
_DEEPEST_INCLUDE = 6


def load_flow(file: Path, vocabulary_file: Path) -> Flow:
    """Load a flow with all it includes.

    Args:
        file: the flow file.
        vocabulary_file: the vocabulary it uses.

    Raises:
        FlowError: with everything that is wrong, each by file, line and column.
    """
    words = read_source(vocabulary_file)
    vocabulary = _validated(words, Vocabulary)
    unfit = [*check_vocabulary(words, vocabulary), *check_cautions(words, vocabulary.cautions)]
    if unfit:
        raise FlowError(unfit)
    build = _Build(vocabulary)
    top = build.read(file)
    build.expand(top, prefix="", returns={}, parents=(file.resolve(),))
    flow = build.finish(top, words)
    problems = [*build.problems, *check_names(flow)]
    if problems:
        raise FlowError(problems)
    return flow


def _validated(source: Source, model: type[_Model]) -> _Model:
    try:
        return model.model_validate(source.data)
    except ValidationError as error:
        raise FlowError(model_problems(source, error, _keys(model))) from error


def _keys(model: type[BaseModel]) -> dict[str, tuple[str, ...]]:
    """Give the keys a file may write, by the tag of the record they belong to."""
    known = {"": _names(model)}
    for union in (Step, Rule):
        for member in get_args(get_args(union)[0]):
            for key in ("kind", "rule"):
                if key in member.model_fields:
                    tag = get_args(member.model_fields[key].annotation)[0]
                    known[tag] = _names(member)
    return known


def _names(model: type[BaseModel]) -> tuple[str, ...]:
    return tuple(field.alias or name for name, field in model.model_fields.items())


@lru_cache(maxsize=64)
def _read_once(file: Path, text: str) -> tuple[Source, FlowFile]:
    """Validate a text once: shared steps are included many times, by many flows."""
    source = source_of(file, text)
    return source, _validated(source, FlowFile)


class _Build:
    """The expansion in progress: what was read so far and what was wrong with it."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.steps: dict[str, LinkedStep] = {}
        self.origins: dict[str, Origin] = {}
        self.cautions: dict[str, Caution] = dict(vocabulary.cautions)
        self.findings: dict[str, Finding] = {}
        self.problems: list[Problem] = []
        self.sources: list[Source] = []

    def read(self, file: Path) -> tuple[Source, FlowFile]:
        """Read and validate one file."""
        source = read_source(file)
        self.sources.append(source)
        return _read_once(source.file, source.text)

    def expand(
        self,
        pair: tuple[Source, FlowFile],
        prefix: str,
        returns: Mapping[str, str],
        parents: tuple[Path, ...],
    ) -> None:
        """Put a file's steps into the flow, under a prefix, with its returns led on."""
        source, flow = pair
        if flow.start not in flow.steps:
            message, hint = (
                f"'{flow.start}' is not a step of this flow.",
                nearest(flow.start, flow.steps),
            )
            self.problems.append(source.problem(("start",), message, hint, "unknown-start"))
        self._take_cautions(source, flow)
        self._take_findings(source, flow, prefix)
        for name, step in flow.steps.items():
            here = prefix + name
            origin = Origin(source, ("steps", name))
            self.problems.extend(check_step_name(name, origin))
            led = _Leader(flow, source, prefix, returns, self.problems)
            if isinstance(step, IncludeStep):
                self._include(here, led, origin, step, parents)
                continue
            linked = led.lead(name, step)
            if isinstance(linked, SpokenStep):
                linked = self._with_phrases(linked, origin)
            self.steps[here] = linked  # type: ignore[assignment]
            self.origins[here] = origin

    def _take_cautions(self, source: Source, flow: FlowFile) -> None:
        """Cautions are shared by name, so no file may change what another one's says."""
        self.problems.extend(check_cautions(source, flow.cautions))
        for name, caution in flow.cautions.items():
            if self.cautions.setdefault(name, caution) != caution:
                message = f"The caution '{name}' says something else elsewhere in this flow."
                where = ("cautions", name)
                hint = "Give it another name."
                self.problems.append(source.problem(where, message, hint, "two-meanings"))

    def _take_findings(self, source: Source, flow: FlowFile, prefix: str) -> None:
        """Findings are shared by name, so an included flow may not give one another meaning."""
        for name, finding in flow.findings.items():
            known = self.findings.setdefault(name, _prefixed(flow, finding, prefix))
            if known.part != finding.part:
                where = ("findings", name)
                message = f"The finding '{name}' means another part elsewhere in this flow."
                hint = "Give it another name."
                self.problems.append(source.problem(where, message, hint, "two-meanings"))

    def _include(
        self,
        here: str,
        led: "_Leader",
        origin: Origin,
        step: IncludeStep,
        parents: tuple[Path, ...],
    ) -> None:
        file = (origin.source.file.parent / step.flow).resolve()
        if file in parents or len(parents) > _DEEPEST_INCLUDE:
            message = f"'{step.flow}' includes itself by way of this file."
            where = (*origin.where, "flow")
            self.problems.append(origin.source.problem(where, message, "", "include-cycle"))
            return
        try:
            source, flow = self.read(file)
        except FlowError as error:
            self.problems.extend(_as_include_problem(origin, step, error))
            return
        for missing in sorted(set(flow.returns) - set(step.returns)):
            message = f"'{step.flow}' returns '{missing}', which leads nowhere here."
            where = (*origin.where, "returns")
            hint = f"Add '{missing}: …'."
            self.problems.append(origin.source.problem(where, message, hint, "missing-return"))
        for unknown in sorted(set(step.returns) - set(flow.returns)):
            message = f"'{step.flow}' has no return '{unknown}'."
            where = (*origin.where, "returns", unknown)
            hint = nearest(unknown, flow.returns)
            self.problems.append(origin.source.problem(where, message, hint, "unknown-return"))
        inside = here + "/"
        self.steps[here] = GateStep(include=here, way="in", next=inside + flow.start)
        self.origins[here] = origin
        gates = {}
        for way, target in step.returns.items():
            gate = f"{here}>{way}"
            gates[way] = gate
            place = (*origin.where, "returns", way)
            self.steps[gate] = GateStep(include=here, way=way, next=led.target(target, place))
            self.origins[gate] = Origin(origin.source, place)
        self.expand((source, flow), inside, gates, (*parents, file))

    def _with_phrases(self, step: SpokenStep, origin: Origin) -> SpokenStep:
        """Fill in the phrases of an observation's values from the vocabulary."""
        about = step.about if isinstance(step, DoStep | ObserveStep) else None
        if about is None:
            return step
        observation = self.vocabulary.observations.get(about)
        if observation is None:
            message = f"'{about}' is not an observation of the vocabulary."
            hint = nearest(about, self.vocabulary.observations)
            where = (*origin.where, "about")
            self.problems.append(origin.source.problem(where, message, hint, "unknown-observation"))
            return step
        filled: dict[str, Answer] = {}
        for name, answer in step.choices.items():
            if not answer.phrases and name not in observation.values:
                where = (*origin.where, "choices", name)
                message = f"'{name}' is not something that '{about}' can be."
                hint = nearest(name, observation.values)
                self.problems.append(origin.source.problem(where, message, hint, "unknown-choice"))
            phrases = answer.phrases or observation.values.get(name, ())
            filled[name] = _changed(answer, {"phrases": phrases})
        return _changed(step, {"choices": filled})

    def finish(self, pair: tuple[Source, FlowFile], words: Source) -> Flow:
        """Make the flow of what was gathered."""
        _, top = pair
        digest = sha256(words.text.encode())
        for source in self.sources:
            digest.update(source.text.encode())
        return Flow(
            id=top.flow,
            title=top.title,
            edition=top.edition,
            digest=digest.hexdigest(),
            source=pair[0],
            vocabulary=self.vocabulary,
            start=top.start,
            make_safe=top.make_safe,
            make_live=top.make_live,
            steps=self.steps,
            origins=self.origins,
            cautions=self.cautions,
            findings=self.findings,
            complaints=top.complaints,
            covers=top.covers,
            ambiguous=top.ambiguous,
        )


def _changed(record: _Model, update: dict[str, Any]) -> _Model:
    """Give a record with some fields changed, itself where they are as they were: copies cost."""
    new = {key: value for key, value in update.items() if getattr(record, key) is not value}
    new = {key: value for key, value in new.items() if getattr(record, key) != value}
    return record.model_copy(update=new) if new else record


def _prefixed(flow: FlowFile, finding: Finding, prefix: str) -> Finding:
    """Lead the steps that a finding names to their ids; values keep their names."""
    steps = {n for n, step in flow.steps.items() if not isinstance(step, JudgedStep)}
    evidence = tuple(prefix + one if one in steps else one for one in finding.evidence)
    proof = tuple(prefix + name for name in finding.proof)
    return finding.model_copy(update={"evidence": evidence, "proof": proof})


def _as_include_problem(origin: Origin, step: IncludeStep, error: FlowError) -> Iterator[Problem]:
    """Point at the include where the file is missing, at the file where it is broken."""
    if any("no such file" in problem.message for problem in error.problems):
        message = f"There is no file '{step.flow}' beside this flow."
        where, hint = (*origin.where, "flow"), "Name a file in flows/."
        yield origin.source.problem(where, message, hint, "include-missing")
        return
    yield from error.problems


class _Leader:
    """Leads the targets of one file's steps to their ids in the whole flow."""

    def __init__(
        self,
        flow: FlowFile,
        source: Source,
        prefix: str,
        returns: Mapping[str, str],
        problems: list[Problem],
    ) -> None:
        self.flow, self.source, self.prefix = flow, source, prefix
        self.returns, self.problems = returns, problems

    def target(self, name: str, where: Where) -> str:
        """Give a target's id in the whole flow; complain where it is none."""
        if name == STOP or (name == END and not self.flow.returns):
            return name
        if name.startswith(RETURN):
            return self._return(name, where)
        if name.startswith(TO_FLOW):
            self._check_flow(name.removeprefix(TO_FLOW), where)
            return name
        if name in self.flow.steps:
            return self.prefix + name
        self._complain(name, where, [*self.flow.steps, END, STOP])
        return END

    def _return(self, name: str, where: Where) -> str:
        """Give what a return leads to; a shared file looked at by itself ends there."""
        way = name.removeprefix(RETURN)
        if way in self.returns:
            return self.returns[way]
        if way not in self.flow.returns:
            self._complain(name, where, [RETURN + one for one in self.flow.returns])
        return END

    def _check_flow(self, flow: str, where: Where) -> None:
        """Complain where the flow that a walk is sent to is not beside this one."""
        beside = self.source.file.parent
        if not (beside / f"{flow}.yaml").is_file():
            message = f"There is no flow '{flow}' beside this one."
            hint = nearest(flow, (file.stem for file in beside.glob("*.yaml")))
            self.problems.append(self.source.problem(where, message, hint, "unknown-target"))

    def _complain(self, name: str, where: Where, known: list[str]) -> None:
        message = f"'{name}' is not a step to go to."
        hint = nearest(name, known)
        self.problems.append(self.source.problem(where, message, hint, "unknown-target"))

    def lead(self, name: str, step: StepBase) -> StepBase:
        """Give the step with every target led on and its value named."""
        base = ("steps", name)
        update: dict[str, Any] = {}
        for key in ("next", "skipped", "unknown", "otherwise"):
            target = getattr(step, key, None)
            if isinstance(target, str):
                update[key] = self.target(target, (*base, key))
        if isinstance(step, SpokenStep):
            update["choices"] = self._choices(step, base)
        if isinstance(step, JudgedStep):
            update["judge"] = self._rules(step, base)
            update["name"] = step.name or name
        if isinstance(step, DecideStep):
            update["cases"] = self._cases(step, base)
        return _changed(step, update)

    def _choices(self, step: SpokenStep, base: Where) -> dict[str, Answer]:
        led: dict[str, Answer] = {}
        for choice, answer in step.choices.items():
            where = (*base, "choices", choice, "next")
            target = None if answer.next is None else self.target(answer.next, where)
            led[choice] = _changed(answer, {"next": target})
        return led

    def _rules(self, step: JudgedStep, base: Where) -> tuple[RuleModel, ...]:
        led = []
        for position, rule in enumerate(step.judge):
            go = {
                outcome: target
                if target == CONTINUE
                else self.target(target, (*base, "judge", position, "go", outcome))
                for outcome, target in rule.go.items()
            }
            led.append(_changed(rule, {"go": go}))
        return tuple(led)

    def _cases(self, step: DecideStep, base: Where) -> tuple[Case, ...]:
        led = []
        for position, case in enumerate(step.cases):
            target = self.target(case.next, (*base, "cases", position, "next"))
            clauses = tuple(self._clause(clause) for clause in case.when)
            led.append(_changed(case, {"next": target, "when": clauses}))
        return tuple(led)

    def _clause(self, clause: Clause) -> Clause:
        """Answers are known by step, so a step of an included file takes its prefix."""
        if isinstance(clause, AnswerIs) and clause.answer in self.flow.steps:
            return _changed(clause, {"answer": self.prefix + clause.answer})
        return clause
