"""Whole plans: bounds proved again, orders of the ends, the command and its words."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from setting_shop import EXAMPLES, job_of
from typer.testing import CliRunner

import standclear
from standclear.cli import app
from standclear.findings.finding import Verdict
from standclear.plan.setting.before_program import plan_early
from standclear.plan.setting.bounds import open_findings
from standclear.plan.setting.changed import longer, zero_moved
from standclear.plan.setting.orders import dips_of, orders_of
from standclear.plan.setting.plan import plan_job
from standclear.proof.prove import other_blank
from standclear.report.lines import plain
from standclear.report.plan.orders import order_lines
from standclear.report.plan.setting import plan_lines

TOUCH = {"way": "touch", "face_allowance": 2.0}
ON_STOP = {"way": "finished-on-stop"}


def test_bounds_of_a_pin_are_those_worked_by_hand_and_hold_to_a_hundredth() -> None:
    """Back: 83 + 0.2 + 0.2 - 81 + 0.05 = 2.45 at most, its first cut ends at Z1 and its tool takes
    3: 4 - 2.45 = 1.55 more, 84.55. Shortest: 83 - (2 - 0.5) = 81.5. Zero set anew: the front may
    take 4 - 2.05 = 1.95 more, 86.5 in all; 0.3 + 79 + 0.5 = 79.8 at least."""
    held = standclear.hold(standclear.read_job(EXAMPLES / "demo-pin"))
    job = held.files.job
    plan = plan_job(held, job, job)
    bounds = (plan.shortest, plan.longest, plan.shortest_at_best, plan.longest_at_best)
    assert [b.length for b in bounds if b] == pytest.approx([81.5, 84.55, 79.8, 86.5])
    assert all(b is not None and b.proved for b in bounds)
    assert plan.complete
    codes = {f.code for f in standclear.ask(held, length=84.56).findings if f.severity > 1}
    assert codes == {"cut-too-deep"}
    # 0.05 is kept for a cut; short by that much and a hundredth, skin stays.
    codes = {f.code for f in standclear.ask(held, length=81.44).findings if f.severity > 1}
    assert "face-left-raw" in codes


def test_a_short_blank_is_saved_by_setting_the_zero_anew_and_the_answer_is_proved() -> None:
    """80.3 leaves 1.3; the ends need 0.3 and 0.5: 0.25 each to spare, 0.55 and 0.75."""
    held = standclear.hold(standclear.read_job(EXAMPLES / "demo-pin"))
    filed = held.files.job
    job = other_blank(filed, bar=None, length=80.3, face=None)
    plan = plan_job(held, job, filed)
    assert {f.code for f in plan.findings} >= {"face-left-raw"}
    assert plan.split.proposed == -1.45 and plan.job.setup[0].zero.face_allowance == 0.55
    assert plan.after is Verdict.CLEAR and plan.after_findings == ()
    # The blank is 2.7 shorter and zero 1.45 nearer to the raw face: -2.7 + 1.45 in the machine.
    assert plan.zeros[0].change == pytest.approx(-1.25)
    assert not plan.complete


def test_a_job_in_contact_has_no_bounds_of_its_length() -> None:
    held = standclear.hold(standclear.read_job(EXAMPLES / "demo-pin"))
    job = other_blank(held.files.job, bar=52.0, length=86.5, face=None)
    plan = plan_job(held, job, held.files.job)
    assert plan.verdict is Verdict.CONTACT and plan.longest is None and not plan.complete
    assert plan.least.proved  # with every point moved out it is clear


OUTLINE = [[0, 20], [-15, 20], [-15, 36], [-40, 36], [-40, 26], [-60, 26]]


def test_the_order_of_the_ends_by_hand() -> None:
    """Part 60: 20 for 15, collar 36 for 25, 26 for 20. Jaws 20 deep, bar 40 x 64, 2 in front.
    First end: jaws' front at 2 - 64 + 20 = -42, so to Z-41. Second: -60 + 20 = -40, to Z-39. The
    first must reach 60 - 39 = 21 either way. Back first, jaws close on 26 over 20; front first on
    20 over 15, then they would stand in the collar: it cannot seat."""
    job = job_of(TOUCH, ON_STOP, length=64.0, part={"outline": OUTLINE})
    better, other = orders_of(job)
    assert (better.first, better.works, better.band) == ("back", True, 0.0)
    first, second = better.ends
    assert (first.front, first.deepest, first.must) == pytest.approx((-42, -41, -21))
    assert (second.front, second.deepest, second.must) == pytest.approx((-40, -39, -19))
    assert (first.grip, first.diameter) == pytest.approx((20, 40))
    assert (second.grip, second.diameter) == pytest.approx((20, 26))
    assert first.stick_out == pytest.approx(44)
    assert other.first == "front" and not other.works
    assert [f.code for end in other.ends for f in end.faults]


def test_an_outline_that_falls_on_its_way_up_is_told() -> None:
    """Groove 16 from -5 to -8 in the front journal, undercut 24 at the collar's back, groove 30 in
    the collar; the steps themselves are none."""
    outline = [
        (0.0, 20.0), (-5.0, 20.0), (-5.0, 16.0), (-8.0, 16.0), (-8.0, 20.0), (-15.0, 20.0),
        (-15.0, 36.0), (-20.0, 36.0), (-20.0, 30.0), (-24.0, 30.0), (-24.0, 36.0), (-40.0, 36.0),
        (-40.0, 24.0), (-42.0, 24.0), (-42.0, 26.0), (-60.0, 26.0),
    ]  # fmt: skip
    assert [(d.z_from, d.z_to, d.diameter) for d in dips_of(outline)] == [
        (-5.0, -8.0, 16.0),
        (-20.0, -24.0, 30.0),
        (-40.0, -42.0, 24.0),
    ]
    assert dips_of([(z, d) for z, d in OUTLINE]) == ()
    job = job_of(TOUCH, ON_STOP, length=64.0, part={"outline": [list(p) for p in outline]})
    text = plain(tuple(order_lines(orders_of(job), "mm")))
    assert "Z-5.0 to Z-8.0, diameter 16.0 mm; Z-20.0 to Z-24.0" in text


def test_a_stick_out_over_three_diameters_is_told_before_any_program() -> None:
    """Pin 26 by 118, jaws 35: 85.4 stand out of 26, 3.28 of it."""
    slim = [[0, 20], [-30, 20], [-30, 32], [-70, 32], [-70, 26], [-118, 26]]
    deep = {"profile": [[0, 0], [35, 0], [35, 22], [0, 22]]}
    first = {"way": "touch", "face_allowance": 1.6}
    job = job_of(
        first, ON_STOP, finished=118.0, size=35.0, length=122.0, jaws=deep, part={"outline": slim}
    )
    better = orders_of(job)[0]
    assert better.ends[1].over_diameter == pytest.approx((122 - 1.6 - 35) / 26, abs=1e-3)
    text = plain(tuple(order_lines(orders_of(job), "mm")))
    assert "Stick-out over diameter 3.28, usual is at most 3.00" in text


def test_ends_that_do_not_meet_leave_a_band() -> None:
    """Jaws 35 deep on a plain pin: 62 - 35 - 1 = 26 and 60 - 35 - 1 = 24 can be turned of 60."""
    deep = {"profile": [[0, 0], [35, 0], [35, 15], [0, 15]]}
    job = job_of(TOUCH, ON_STOP, length=64.0, jaws=deep, part={"outline": [[0, 36], [-60, 36]]})
    for order in orders_of(job):
        assert order.band == pytest.approx(60 - 26 - 24) and not order.works


def test_a_job_without_set_ups_is_given_two_with_even_shares() -> None:
    """64 - 60 = 4; no tolerances, so 2 a side."""
    bare = job_of(TOUCH, length=64.0).model_copy(update={"setup": []})
    plan = plan_early(bare, bare)
    assert plan.assumed and len(plan.job.setup) == 2
    assert plan.job.setup[0].zero.face_allowance == 2.0
    assert [f.deepest for f in plan.jaws] == pytest.approx([-41, -39])


def run(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["plan", *words])
    return result.exit_code, result.stdout


def test_the_command_on_a_clear_job_and_on_one_to_mend() -> None:
    status, text = run(str(EXAMPLES / "demo-pin"))
    assert status == 0
    assert "  blank 83.0 = front 2.0 + part 79.0 + back 2.0 mm\n" in text
    assert "Tip on the raw face, display must read Z+2.000;" in text
    assert "gap: X 2.8 mm on diameter, 1.4 mm between tool and metal; Z 2.95 mm in front" in text
    assert "at least 81.5 mm, at most 84.55 mm. Proved again: clear." in text
    assert "Before you press cycle start" in text
    status, text = run(str(EXAMPLES / "demo-pin"), "--bar", "52", "--length", "86.5")
    assert status == 1 and "As it stands: contact" in text


def test_the_command_says_why_no_split_does() -> None:
    status, text = run(str(EXAMPLES / "demo-pin"), "--length", "79.5")
    assert status == 1
    assert "front end does not clean up below a front allowance of 0.3." in text
    assert "The two disagree by 0.3 mm." in text
    said = "The blank would have to be 79.8 mm long at least, 0.3 of it at the front. Proved again"
    assert said in text


def test_a_length_that_is_enough_is_proved_or_said_not_to_be() -> None:
    """79.5 long: ends that need 0.3 and 0.5 on 79 want 79.8. A bar of 52 is struck anyhow."""
    held = standclear.hold(standclear.read_job(EXAMPLES / "demo-pin"))
    filed = held.files.job
    job = other_blank(filed, bar=None, length=79.5, face=None)
    enough = plan_job(held, job, filed).enough
    assert enough is not None and enough.proved
    assert (enough.length, enough.shift) == pytest.approx((79.8, -1.7))
    again = zero_moved(longer(job, 0.3), -1.7)
    found = standclear.judge(held, again)
    assert found.verdict is Verdict.CLEAR and open_findings(found) == ()
    thick = plan_job(held, other_blank(filed, bar=52.0, length=79.5, face=None), filed)
    assert thick.enough is not None and not thick.enough.proved
    said = plain(plan_lines(thick))
    assert "How long the blank would have to be is not proved: at 79.8 mm, which the sum" in said
    assert "would have to be 79.8 mm long" not in said


def test_a_finding_of_the_blank_in_hand_does_not_excuse_a_bound() -> None:
    """79.3 long the back stays raw; a bound at which it still did would be no bound. A sum that is
    0.3 off gives 81.2, and 81.5 is right."""
    from standclear.plan.setting import bounds as module

    held = standclear.hold(standclear.read_job(EXAMPLES / "demo-pin"))
    job = other_blank(held.files.job, bar=None, length=79.3, face=None)
    now = standclear.judge(held, job)
    split = plan_job(held, job, held.files.job).split
    assert {f.code for f in open_findings(now)} >= {"face-left-raw", "size-wrong"}
    found = [module._proved(held, job, now, at, 0.0, module.must_go(split)) for at in (1.9, 2.2)]
    assert [each.proved for each in found] == [False, True]


def test_a_bound_with_the_zero_anew_of_a_measured_part() -> None:
    """Both ends touched, both zeros +/-0.05: 44 + 0.1 at the front and 0.45 at the back."""
    held = standclear.hold(standclear.read_job(EXAMPLES / "hexagon-fitting"))
    best = plan_job(held, held.files.job, held.files.job).shortest_at_best
    assert best is not None and best.proved
    # Stated at the front 1.0, less 0.9.
    assert (best.length, best.shift) == pytest.approx((44.55, -0.9))


def test_the_command_before_there_is_a_program(tmp_path: Path) -> None:
    folder = tmp_path / "pin"
    shutil.copytree(EXAMPLES / "demo-pin", folder)
    text = (folder / "job.toml").read_text()
    kept = [
        s for s in text.splitlines() if not s.startswith(("program", "start", "end ", "tools "))
    ]
    (folder / "job.toml").write_text("\n".join(kept))
    (folder / "pin.nc").unlink()
    status, said = run(str(folder))
    assert status == 0
    assert "No program yet: no motion is proved." in said
    assert "Turn the front end first" in said
    assert "go no deeper than Z-55.75" in said  # -81 + 24 + 0.05 + 0.2 saw + 0 + 1 margin
    assert CliRunner().invoke(app, ["prove", str(folder)]).exit_code == 2


def test_a_job_with_programs_needs_all_that_a_proof_needs(tmp_path: Path) -> None:
    folder = tmp_path / "pin"
    shutil.copytree(EXAMPLES / "demo-pin", folder)
    text = (folder / "job.toml").read_text().replace('tools = "tools.toml"\n', "")
    (folder / "job.toml").write_text(text)
    result = CliRunner().invoke(app, ["plan", str(folder)])
    assert result.exit_code == 2 and "job.toml: tools is missing" in result.stderr


def test_the_plan_as_json() -> None:
    status, text = run(str(EXAMPLES / "demo-pin"), "--json")
    found = json.loads(text)
    assert status == 0 and found["complete"] is True and found["verdict"] == "clear"
    assert found["split"]["front"]["allowance"] == 2.0
    assert [z["offset"] for z in found["zeros"]] == ["G54", "G55"]
    assert found["points"][0][0]["gap_x"] == pytest.approx(1.4, abs=1e-3)
    assert found["longest"]["length"] == 84.55
    assert not {"job", "before", "proof"} & set(found)


def test_the_back_of_the_drawing_says_it_in_seven_lines() -> None:
    """The sums stand at the top of the example; soft jaws: the land ends 40 in front of the stop;
    83 - 2 = 81 measured after the first end. Raw face and bar with 2.5: 2.05 + 2.5, 48.2 + 2.5;
    turned round 2.45 + 2.5."""
    _, text = run(str(EXAMPLES / "demo-pin"))
    lines = text.split("On the back of the drawing\n")[1].split("\n\n")[0].splitlines()
    assert [line.strip() for line in lines] == [
        "Bar 48.0, saw to 83.0 (81.5 to 84.55 will do): 2.0 front, 79.0 part, 2.0 mm back.",
        "1  front end, G54: hard jaws, 24 deep, on the stop; grip 23.8 on 47.92, out 59.5 mm.",
        "Each raw face touched: key in 2.0; display on the raw face Z+2.000, the jaws' front "
        "Z-57.000.",
        "Raw bar and face want X50.7 Z4.55 to start at; the program starts at X51.0 Z5.0. Nearest "
        "to the jaws: 3.75 mm (line 30).",
        "2  back end, G55: soft jaws bored 45, land 16, bore 45.0 x 40.0 deep, on the stop; grip "
        "16.0 on 45.0, out 41.45 mm.",
        "Measure 81.0 mm first. Finished face on the stop, zero fixed: part zero 79.0 in front of "
        "the stop; display on the stop Z-79.000, the raw face Z+2.000.",
        "Raw bar and face want X50.7 Z4.95 to start at; the program starts at X51.0 Z5.0. Nearest "
        "to the jaws: 11.0 mm (line 59).",
    ]
    # Cut to 80.3 the zero moves 2.7 - 1.45 nearer the chuck; the bounds as set hold no longer.
    _, text = run(str(EXAMPLES / "demo-pin"), "--length", "80.3")
    assert "Bar 48.0, saw to 80.3: 0.55 front, 79.0 part, 0.75 mm back." in text
    assert "That moves the offset by Z-1.250." in text


def test_a_face_is_judged_where_it_was_cut_and_not_where_the_part_wanders(tmp_path: Path) -> None:
    """Zero 81 in front of the stop, zero of the second end +/-0.05, so the part wanders 0.1. The
    front needs 0.2 saw + 0.2 lean + 0.05 zero + 0.05 to cut = 0.5 of its 2.0: 83 - 1.5 = 81.5.
    There 0.05 comes off the lowest spot of the front; 0.1 shorter skin stays."""
    folder = tmp_path / "pin"
    shutil.copytree(EXAMPLES / "demo-pin", folder)
    text = (folder / "job.toml").read_text()
    text = text.replace('"touch", face_allowance = 2.0,', '"stop", from_stop = 81.0,')
    text = text.replace('"finished-on-stop" }', '"finished-on-stop", error = 0.05 }')
    (folder / "job.toml").write_text(text)
    held = standclear.hold(standclear.read_job(folder))
    plan = plan_job(held, held.files.job, held.files.job)
    assert plan.shortest is not None and plan.shortest.proved
    assert plan.shortest.length == pytest.approx(81.5)
    short = standclear.ask(held, length=81.4)
    assert "face-left-raw" in {f.code for f in open_findings(short)}


def test_too_near_what_a_facing_cut_left_is_no_limit_of_the_split(tmp_path: Path) -> None:
    """T1 leaves 0.2 on the face and T2 starts 2.2 in front of zero, 2.0 from it: 2.5 are wanted,
    and so they are wherever the raw face lies. The back has 1.5 to spare (2 less 0.5), and its
    first cut takes 1.55 more (see above): 2 - 1.55 = 0.45 to 2 + 1.5 = 3.5 at the front."""
    folder = tmp_path / "pin"
    shutil.copytree(EXAMPLES / "demo-pin", folder)
    text = (folder / "pin.nc").read_text()
    start = "G96 S220 M03\nG00 X51. Z5.\n"
    assert text.count("Z0.\nG00 X51. Z5.\nG71") == 2 and start in text
    text = text.replace("Z0.\nG00 X51. Z5.\nG71", "Z0.2\nG00 X51. Z5.\nG71", 1)
    facing = "G00 X28. Z2.2\nG01 Z0. F0.12\nX-0.8\nG00 Z5.\nX51.\n"
    (folder / "pin.nc").write_text(text.replace(start, start + facing, 1))
    status, said = run(str(folder))
    line = text.replace(start, start + facing, 1).splitlines().index("G01 Z0. F0.12") + 1
    assert status == 1
    assert "As it stands: clear; to mend: start too near." in said
    assert "No split" not in said and "no bound found" not in said
    assert "A front allowance from 0.45 to 3.5 does. Proved again at its ends: clear." in said
    assert f"At any split front end, line {line}: the tool comes too near metal" in said


def test_what_cleans_up_is_not_called_a_split_that_does_while_the_job_is_in_contact() -> None:
    _, said = run(str(EXAMPLES / "demo-pin"), "--bar", "52", "--length", "86.5")
    assert "cleans up; what the programs allow is not counted" in said
    assert "does.\n" not in said.split("Split of the length")[1].split("Length of the blank")[0]


def test_a_margin_kept_in_one_axis_is_not_called_too_near(tmp_path: Path) -> None:
    """T1 at the front starts at Z4.: 1.95 in front of a face at 2.05 where 2.5 are wanted, and 2.8
    over the bar on diameter. The proof asks for either and finds nothing; at X50. too it is short
    in both (50 - 48.2 = 1.8), and the proof says so."""
    folder = tmp_path / "pin"
    shutil.copytree(EXAMPLES / "demo-pin", folder)
    text = (folder / "pin.nc").read_text()
    (folder / "pin.nc").write_text(text.replace("G00 X51. Z5.", "G00 X51. Z4.", 2))
    said = run(str(folder))[1]
    assert "too near" not in said.split("The usual rule")[0].split("Clearance points")[1]
    assert "the margin is kept in one axis, and that is enough; for both" in said
    assert "X51.0 Z5.0, the margin in one axis at line 11" in said
    (folder / "pin.nc").write_text(text.replace("G00 X51. Z5.", "G00 X50. Z4.", 2))
    said = run(str(folder))[1]
    assert "too near; needed" in said and "to mend:" in said.splitlines()[1]
