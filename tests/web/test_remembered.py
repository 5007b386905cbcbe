"""A question that was just answered is not computed again, and nothing but that is noticed of it."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from climbwright.web import create_app
from climbwright.web.remembered import Known, Remembered

from ..load.asked import example

QUESTION = "/v1/density-altitude?elevation=6150ft&qnh=1016hPa&oat=33C&pick=density_altitude"


@pytest.fixture
def computed(monkeypatch):
    """A service of its own, and the questions that it has computed."""
    from climbwright.web import endpoints

    asked, answer = [], endpoints.answer
    monkeypatch.setattr(endpoints, "answer", lambda *given: asked.append(given[2]) or answer(*given))
    return create_app({}).test_client(), asked


def test_a_cell_s_head_and_get_are_computed_once(computed):
    client, asked = computed
    head, get, again = client.head(QUESTION), client.get(QUESTION), client.get(QUESTION)
    assert len(asked) == 1
    assert get.data == again.data != b""
    kept_back = {"Date", "X-Request-Id"}
    for one in (head, again):
        assert {k: v for k, v in one.headers if k not in kept_back} == {
            k: v for k, v in get.headers if k not in kept_back
        }


@pytest.mark.parametrize("other", ["&units=si", "&dew_point=6C", "&errors=text"])
def test_another_question_is_another_answer(computed, other):
    client, asked = computed
    client.get(QUESTION)
    client.get(QUESTION + other)
    assert len(asked) == 2


def test_accept_is_part_of_the_question(computed):
    client, _ = computed
    path = QUESTION.replace("&pick=density_altitude", "")
    kinds = {name: client.get(path, headers={"Accept": name}).mimetype for name in ("text/csv", "text/plain")}
    assert kinds == {"text/csv": "text/csv", "text/plain": "text/plain"}
    assert client.get(path).mimetype == "application/json"


def test_a_refusal_is_computed_anew(computed):
    client, asked = computed
    wrong = "/v1/atmosphere?altitude=99km&errors=text"
    assert client.get(wrong).data == client.get(wrong).data
    assert len(asked) == 2


def test_a_posted_question_is_answered_again_as_it_was(computed):
    client, asked = computed
    body = example("comparison")
    first, again = (client.post("/v1/comparison", json=body) for _ in range(2))
    assert len(asked) == 1
    assert first.status_code == 200
    assert first.data == again.data
    assert first.headers["Vary"] == again.headers["Vary"]
    assert first.content_type == again.content_type
    assert client.post("/v1/comparison?units=si", json=body).data != first.data
    body["conditions"] = body["conditions"][:1]
    assert client.post("/v1/comparison", json=body).data != first.data
    assert len(asked) == 3


def test_a_body_is_no_query(computed):
    client, asked = computed
    assert client.get("/v1/atmosphere?altitude=6000ft").status_code == 200
    assert client.post("/v1/atmosphere?altitude=6000ft", json={"altitude": "6000 ft"}).status_code == 422
    assert client.post("/v1/atmosphere", data=b"", content_type="application/json").status_code == 411
    assert len(asked) == 1


def known(text):
    return Known(text.encode(), "text/plain", 1, text)


def test_only_the_last_ones_used_are_kept():
    kept = Remembered(room=3_010, longest=1_005)
    for name in "abc":
        kept.keep((name,), known(name))
    assert kept.get(("a",)) == known("a")
    kept.keep(("d",), known("d"))
    assert kept.get(("b",)) is None
    assert [kept.get((name,)) is None for name in "acd"] == [False, False, False]
    for question, body in ((("e",), "12345"), (("e", b"2345"), "1")):
        kept.keep(question, known(body))
        assert kept.get(question) is None


def test_one_kept_twice_takes_its_room_once():
    kept = Remembered(room=2_010)
    for name in "aaaaaab":
        kept.keep((name,), known(name))
    assert [kept.get((name,)) is None for name in "ab"] == [False, False]


def test_threads_do_not_disturb_each_other():
    kept = Remembered(room=50 * 1_010)

    def work(seed):
        for n in range(2_000):
            name = str((seed * 7 + n) % 120)
            kept.keep((name,), known(name))
            found = kept.get((name,))
            assert found is None or found == known(name)

    with ThreadPoolExecutor(8) as pool:
        list(pool.map(work, range(8)))
    assert len(kept._kept) == 50
