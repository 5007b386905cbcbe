"""The running service keeps what its document promises: requests made of the document, a modest number of each."""

from .generated import ask

EXAMPLES, SEED = 10, 1  # many more, of several seeds: python tests/contract/generated.py


def test_the_running_service_keeps_its_document(server):
    code, told = ask(server, SEED, EXAMPLES, "--exclude-name", "GET /v1/performance")
    assert code == 0, told


def test_the_query_of_an_aeroplane_keeps_its_document(server):
    """Without what its schemas bound: a hundred parameters make fifty thousand requests, a matter for a long run."""
    code, told = ask(server, SEED, EXAMPLES, "--include-name", "GET /v1/performance", phases="examples,fuzzing")
    assert code == 0, told
