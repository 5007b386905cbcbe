"""Before and after: every measure of a comparison, what each change bought, and an answer assigned by a page."""

import json
import re
from itertools import product

import pytest

from climbwright.web.words.measures import LABELS

from .pages import SCRIPT, ask, comparison, element, exact, number


def compare(page):
    page.get_by_role("button", name="Compare").click()
    page.locator("climbwright-before-after tbody").first.wait_for()


@pytest.fixture(scope="module")
def answer(server):
    return ask(server, "comparison", comparison())


def check_scene(page, result):
    for row in page.locator("tr[data-measure]").all():
        measure = row.get_attribute("data-measure")
        leaf = (
            result["measures"]["stall_speeds"][measure.split("/")[1]] if "/" in measure else result["measures"][measure]
        )
        for kind in ("before", "after", "change"):
            cell = row.locator(f"td.{kind}")
            if leaf[kind]["value"] is None:
                assert leaf[kind]["reason"] in cell.inner_text()
            else:
                assert exact(cell.locator("data")) == leaf[kind]["value"], (measure, kind)


def test_every_measure_is_shown_before_after_and_changed(visit, answer):
    page = visit(element("before-after", comparison()))
    compare(page)
    result = answer["options"][0]["results"][0]
    shown = {row.get_attribute("data-measure") for row in page.locator("tr[data-measure]").all()}
    assert shown == result["measures"].keys() - {"stall_speeds"} | {"stall_speeds/full flap"}
    check_scene(page, result)


def test_loading_and_condition_are_chosen_without_asking_again(visit, answer):
    page = visit(element("before-after", comparison()))
    compare(page)
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    for result in answer["options"][0]["results"]:
        page.get_by_label("Loading").select_option(result["loading"])
        page.get_by_label("Condition").select_option(result["condition"])
        check_scene(page, result)
        assert f"{result['loading']}, {result['condition']}" in page.get_by_role("status").first.inner_text()
    assert asked == []


def test_climb_is_rounded_down_and_stall_up_before_and_after(visit):
    page = visit(element("before-after", comparison()))
    compare(page)
    for (measure, side), kind in product(
        (("best_climb_rate", -1), ("stall_speed_calibrated", 1)), ("before", "after", "change")
    ):
        figure = page.locator(f"tr[data-measure={measure}] td.{kind} data")
        assert side * (number(figure.inner_text()) - exact(figure)) >= -1e-9


def test_what_each_change_bought_adds_up_to_the_change(visit, answer):
    page = visit(element("before-after", comparison()))
    compare(page)
    measures = answer["options"][0]["results"][0]["measures"]
    for measure in ("best_climb_rate", "stall_speed_calibrated", "weight"):
        page.get_by_label("Measure").select_option(measure)
        rows = page.locator("table:has(tfoot) tbody tr").all()
        shares = {row.locator("th").inner_text(): exact(row.locator("data")) for row in rows}
        assert shares == {name: share["value"] for name, share in measures[measure]["shares"].items()}
        total = exact(page.locator("tfoot data"))
        assert sum(shares.values()) == pytest.approx(total, rel=1e-9)


def test_cautions_targets_and_costs_are_told(visit, answer):
    page = visit(element("before-after", comparison()))
    compare(page)
    told = [text.split(": ", 1)[1] for text in page.locator(".cautions li").all_inner_texts()]
    assert told == [caution["text"] for caution in [*answer["options"][0]["cautions"], *answer["cautions"]]]
    figures = page.locator("climbwright-before-after .figures").inner_text()
    assert "As it is: Best rate of climb at least 600 ft/min" in figures
    costs = [exact(cost) for cost in page.locator("dl data").all()]
    result = answer["options"][0]["results"][0]
    assert costs == [
        answer["options"][0]["cost"]["value"],
        result["cost_per_100_ft_per_min"]["value"],
        result["cost_per_horsepower"]["value"],
    ]


def test_a_broken_limit_stands_before_the_figures_and_is_announced(visit, server):
    """Too much weight too far aft: once by the change alone, once before it too."""
    for heavy in ("0 kg", "160 kg"):
        body = comparison()
        body["baseline"]["items"] = [{"name": "ballast", "weight": heavy, "arm": "3 m"}]
        lead = {"kind": "add", "name": "lead in the tail", "weight": "160 kg", "arm": "3 m"}
        body["options"][0]["changes"].append(lead)
        option = ask(server, "comparison", body)["options"][0]
        grave = [caution for caution in option["cautions"] if caution["severity"] == "warning"]
        broken = {caution["code"] for caution in grave}
        assert {"over-maximum-weight", "cg-outside-limits"} <= broken
        assert bool(option["exceeded_before"]) == (heavy != "0 kg")
        page = visit(element("before-after", body))
        compare(page)
        told = page.locator(".warnings li").all()
        assert [line.get_attribute("data-code") for line in told] == [caution["code"] for caution in grave]
        for line, caution in zip(told, grave, strict=True):
            assert caution["text"] in line.inner_text()
            assert ("before the change" in line.inner_text()) == (caution["code"] in option["exceeded_before"])
        assert f"Warnings: {len(grave)}." in page.locator(".status").inner_text()
        top, table = (page.locator(where).first.bounding_box()["y"] for where in (".warnings", "tr[data-measure]"))
        assert top < table


def test_an_answer_that_a_page_assigns_is_shown_without_asking(visit, answer):
    page = visit(element("before-after"))
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    assign = "(answer) => { document.querySelector('climbwright-before-after').answer = answer; }"
    page.locator("climbwright-before-after .status").wait_for(state="attached")
    page.evaluate(assign, answer)
    check_scene(page, answer["options"][0]["results"][0])
    assert page.get_by_role("button").count() == 0
    assert page.get_by_label("Loading").input_value() == "solo"
    page.evaluate(assign, None)
    assert page.locator("tr[data-measure]").count() == 0
    assert asked == []


def test_an_answer_assigned_before_the_script_has_loaded_is_shown(visit, answer):
    head = f"<script>addEventListener('DOMContentLoaded', () => {{}}); var given = {json.dumps(answer)};</script>"
    body = (
        element("before-after") + "<script>document.querySelector('climbwright-before-after').answer = given</script>"
    )
    page = visit(body, head=head)
    page.locator("tr[data-measure]").first.wait_for()
    check_scene(page, answer["options"][0]["results"][0])


def test_a_measure_that_does_not_exist_says_why(visit, server):
    asked = comparison()
    asked["baseline"]["engine"]["power"] = "45 hp"
    asked.pop("shares")
    page = visit(element("before-after", asked))
    compare(page)
    answer = ask(server, "comparison", asked)
    page.get_by_label("Loading").select_option("two-up")
    page.get_by_label("Condition").select_option("summer noon at Example Mesa")
    result = answer["options"][0]["results"][3]
    assert any(leaf["before"]["value"] is None for name, leaf in result["measures"].items() if name != "stall_speeds")
    check_scene(page, result)


def test_every_measure_of_the_service_has_a_name_here():
    named = set(re.findall(r'"measure\.(\w+)":', SCRIPT.read_text("utf-8")))
    assert LABELS.keys() - named == set()
