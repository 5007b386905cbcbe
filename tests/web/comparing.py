"""What the tests of the comparison share: reading its answers and putting changes into its request."""


def leaves(answer):
    """Every measure's before, after and change, with its pointer."""
    for i, option in enumerate(answer["options"]):
        for j, result in enumerate(option["results"]):
            for name, leaf in result["measures"].items():
                for inner in leaf.values() if name == "stall_speeds" else (leaf,):
                    yield f"/options/{i}/results/{j}/measures/{name}", inner


def with_changes(body, *changes):
    body["options"] = [{"name": "only", "changes": list(changes)}]
    return body


def only(answer):
    (option,) = answer["options"]
    return option


ADD = {"kind": "add", "name": "ballast", "weight": "5 kg", "arm": "1.0 m"}
