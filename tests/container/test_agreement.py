"""The files that run the service agree with it and with each other: settings, ports, users, seconds."""

import json
import re
import subprocess
import sys

import pytest
import yaml

from climbwright.web import create_app
from climbwright.web.settings import PREFIX, SERVER_SETTINGS, SETTINGS, read_server_settings, read_settings

from ..serving import ROOT

DOCKER = ROOT / "docker"
CONTAINERFILE = (DOCKER / "Containerfile").read_text()
NGINX = (DOCKER / "proxy" / "nginx.conf").read_text()
COMPOSE = yaml.safe_load((DOCKER / "compose.yaml").read_text())
CLUSTER = {
    path.name.removesuffix(".yaml"): yaml.safe_load(path.read_text()) for path in (DOCKER / "cluster").glob("*.yaml")
}
POD = CLUSTER["deployment"]["spec"]["template"]["spec"]
(INSTANCE,) = POD["containers"]


def gunicorn():
    """What gunicorn's settings file says of seconds, read in a process of its own."""
    read = (
        "import json, runpy, sys; said = runpy.run_path(sys.argv[1]); "
        "print(json.dumps({name: said.get(name, 30) for name in ('graceful_timeout', 'keepalive')}))"
    )
    command = [sys.executable, "-c", read, DOCKER / "gunicorn.conf.py"]
    return json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)


def assumed(value):
    """What compose puts in place of a variable that nobody has set."""
    return re.sub(r"\$\{\w+:-([^}]*)\}", r"\1", str(value))


def in_compose():
    """What stands there, or is put in its place; what only a user sets is not there."""
    given = COMPOSE["services"]["service"]["environment"].items()
    return {name: assumed(value) for name, value in given if value is not None}


def in_compose_with_redis():
    """As the head of the file says it."""
    said = re.findall(r"(CLIMBWRIGHT_\w+)=(\S+)", (DOCKER / "compose.yaml").read_text().partition("x-confined")[0])
    assert {name for name, _ in said} <= set(COMPOSE["services"]["service"]["environment"])
    return in_compose() | dict(said)


def in_cluster():
    return CLUSTER["settings"]["data"] | CLUSTER["keys.example"]["stringData"]


@pytest.mark.parametrize("environment", [in_compose, in_compose_with_redis, in_cluster])
def test_the_service_starts_with_these_settings(environment):
    given = environment()
    read = read_settings(given)
    assert create_app(read).test_client().get("/health/ready").status_code == 200
    own = [name for name in given if name.startswith(PREFIX)]
    assert own
    assert {name.removeprefix(PREFIX) for name in own} <= set(read)
    assert set(given) - set(own) <= set(read_server_settings(given))


def test_compose_hands_on_what_a_user_sets():
    environment = COMPOSE["services"]["service"]["environment"]
    for name, value in environment.items():
        if value is not None and "$" in value:
            assert value.startswith("${" + name + ":-")
    known = {PREFIX + name for name in SETTINGS} | set(SERVER_SETTINGS)
    of_others = {name for name in environment if name.startswith("OTEL_")}  # of the packages for traces
    assert "OTEL_EXPORTER_OTLP_ENDPOINT" in of_others
    # one instance alone has nobody to serve in its place while it drains
    assert set(environment) - of_others == known - {PREFIX + "DRAIN"}


def test_what_kubernetes_sets_by_itself_is_left_out():
    """Of a service it would tell address and port, in variables that begin as the settings do."""
    said = f"{CLUSTER['service']['metadata']['name'].upper()}_PORT"
    with pytest.raises(ValueError, match=f"{said} is no setting"):
        read_settings(in_cluster() | {said: "tcp://10.0.0.1:80"})
    assert POD["enableServiceLinks"] is False


def test_ports():
    port = re.search(r"GUNICORN_BIND=0\.0\.0\.0:(\d+)", CONTAINERFILE)[1]
    assert re.search(r"^EXPOSE (\d+)$", CONTAINERFILE, re.M)[1] == port
    assert in_compose()["GUNICORN_BIND"] == f"0.0.0.0:{port}"
    assert set(re.findall(r"server service:(\d+)", NGINX)) == {port}
    (named,) = INSTANCE["ports"]
    assert named == {"name": "http", "containerPort": int(port)}
    assert {each["targetPort"] for each in CLUSTER["service"]["spec"]["ports"]} == {"http"}
    assert {each["port"] for rule in CLUSTER["network"]["spec"]["ingress"] for each in rule["ports"]} == {"http"}
    assert CLUSTER["deployment"]["spec"]["template"]["metadata"]["annotations"]["prometheus.io/port"] == port

    (proxied,) = re.findall(r"^\s+listen (\d+);", NGINX, re.M)
    proxy = COMPOSE["services"]["proxy"]
    assert [assumed(each).rsplit(":", 1)[1] for each in proxy["ports"]] == [proxied]
    assert f":{proxied}/" in proxy["healthcheck"]["test"][-1]


def test_users():
    user, group = re.search(r"^USER (\d+):(\d+)$", CONTAINERFILE, re.M).groups()
    assert int(user) > 0
    assert (POD["securityContext"]["runAsUser"], POD["securityContext"]["runAsGroup"]) == (int(user), int(group))
    for name, service in COMPOSE["services"].items():
        if name != "service":
            assert not service["user"].startswith("0")


def test_what_stops_it_waits_until_it_has_finished():
    finishing = gunicorn()["graceful_timeout"]
    drains = {
        "compose": read_settings(in_compose())["DRAIN"],
        "cluster": read_settings(in_cluster())["DRAIN"],
    }
    compose = COMPOSE["services"]["service"]["stop_grace_period"]
    assert int(compose.removesuffix("s")) > drains["compose"] + finishing
    assert POD["terminationGracePeriodSeconds"] > drains["cluster"] + finishing
    # Long enough that the proxies have heard of it: they ask that often.
    probe = INSTANCE["readinessProbe"]
    assert drains["cluster"] > probe["periodSeconds"] * probe["failureThreshold"]


def test_the_proxy_lets_go_of_idle_connections_first():
    (seconds,) = re.findall(r"keepalive \d+;\s+keepalive_timeout (\d+)s;", NGINX)
    assert int(seconds) < gunicorn()["keepalive"]


def test_the_proxy_is_the_only_one_whose_word_is_taken():
    inside = COMPOSE["networks"]["inside"]
    (subnet,) = (each["subnet"] for each in inside["ipam"]["config"])
    assert in_compose()["CLIMBWRIGHT_PROXIES"] == subnet
    assert inside["internal"] is True
    assert "ports" not in COMPOSE["services"]["service"]


@pytest.mark.parametrize("name", COMPOSE["services"])
def test_no_service_of_compose_has_more_rights_than_it_needs(name):
    service = COMPOSE["services"][name]
    assert service["read_only"] is True
    assert service["cap_drop"] == ["ALL"]
    assert "no-new-privileges:true" in service["security_opt"]
    assert {"mem_limit", "cpus", "pids_limit", "healthcheck", "restart"} <= set(service)
    assert name == "service" or re.fullmatch(r"[a-z]+:\d+\.\d+\.\d+-alpine", service["image"])


def test_health_is_asked_in_one_way():
    check = re.search(r"^HEALTHCHECK .*CMD (\[.*\])$", CONTAINERFILE, re.M)[1]
    assert yaml.safe_load(check) == COMPOSE["services"]["service"]["healthcheck"]["test"][1:]


def test_everything_in_the_cluster_is_one_application():
    labels = {"app.kubernetes.io/name": "climbwright"}
    assert CLUSTER["deployment"]["spec"]["selector"]["matchLabels"] == labels
    assert CLUSTER["deployment"]["spec"]["template"]["metadata"]["labels"] == labels
    assert CLUSTER["service"]["spec"]["selector"] == labels
    assert CLUSTER["disruption"]["spec"]["selector"]["matchLabels"] == labels
    assert CLUSTER["network"]["spec"]["podSelector"]["matchLabels"] == labels
    for constraint in POD["topologySpreadConstraints"]:
        assert constraint["labelSelector"]["matchLabels"] == labels
    assert CLUSTER["autoscaler"]["spec"]["scaleTargetRef"]["name"] == CLUSTER["deployment"]["metadata"]["name"]
    assert CLUSTER["autoscaler"]["spec"]["minReplicas"] >= 2
    sources = [next(iter(each.values()))["name"] for each in INSTANCE["envFrom"]]
    assert sources == [CLUSTER["settings"]["metadata"]["name"], CLUSTER["keys.example"]["metadata"]["name"]]
    applied = {f"{name}.yaml" for name in CLUSTER} - {"kustomization.yaml", "keys.example.yaml"}
    assert set(CLUSTER["kustomization"]["resources"]) == applied
    assert {each["name"] for each in CLUSTER["kustomization"]["images"]} == {INSTANCE["image"].rsplit(":", 1)[0]}
    assert not [name for name, document in CLUSTER.items() if "namespace" in document.get("metadata", {})]


def test_an_instance_may_do_nothing_but_serve():
    assert INSTANCE["securityContext"] == {
        "allowPrivilegeEscalation": False,
        "readOnlyRootFilesystem": True,
        "capabilities": {"drop": ["ALL"]},
    }
    assert POD["securityContext"]["runAsNonRoot"] is True
    assert POD["securityContext"]["seccompProfile"] == {"type": "RuntimeDefault"}
    assert POD["automountServiceAccountToken"] is False
    mounted = {each["name"] for each in INSTANCE["volumeMounts"]}
    assert mounted == {each["name"] for each in POD["volumes"]}


def test_the_image_has_the_python_of_its_base():
    version = re.search(r"^ARG BASE=python:(\d+\.\d+)-", CONTAINERFILE, re.M)[1]
    assert set(re.findall(r"/lib/python([\d.]+)/", CONTAINERFILE)) == {version}


def test_every_extra_has_its_lock():
    extras = re.search(r'case "\$\{extra\}" in ([a-z|]+)\)', CONTAINERFILE)[1].split("|")
    assert sorted(extras) == ["fleet", "traces"]
    assert all((ROOT / "service" / f"requirements-{extra}.lock").exists() for extra in extras)
    assert {*assumed(COMPOSE["services"]["service"]["build"]["args"]["EXTRAS"]).split()} <= set(extras)
