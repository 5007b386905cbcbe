"""Tables in CSV: read as the language's own reader reads them, or refused."""

import csv
import io

from climbwright.web.fleet.tables import as_text, csv_table
from climbwright.web.problems import Problem

from ..documents import EXAMPLES, refused
from ..mutating import HOSTILE
from ..tables import LIMITS, check_table
from ..target import Target


def check(case):
    try:
        table = csv_table(case, LIMITS)
        check_table(table)
    except Problem as problem:
        refused(problem)
        return
    _same_as_a_plain_reader(case, table)


def _same_as_a_plain_reader(case, table):
    """Texts that go through are those that the language's reader finds, where it finds a table at all."""
    text = case.decode("utf-8").removeprefix("\ufeff")
    heading, *rows = csv.reader(io.StringIO(text, newline=""))
    rows = [row or [""] for row in rows if row or len(heading) == 1]
    assert len(rows) == table.rows, (len(rows), table.rows)
    for place, name in enumerate(heading):
        column = table.others.get(name)
        if column is not None:
            assert as_text(column).to_pylist() == [row[place] or None for row in rows]


def mutate(case, source):
    """Spoil one cell, or a row as a whole."""
    rows = [row.split(b",") for row in case.split(b"\n")]
    row = source.randrange(len(rows))
    way = source.randrange(6)
    if way == 0:
        rows.insert(row, list(source.choice(rows)))
    elif way == 1 and len(rows) > 1:
        del rows[row]
    elif way == 2:
        rows = [[*one, source.choice(_WORDS)] if one != [b""] else one for one in rows]
    else:
        rows[row][source.randrange(len(rows[row]))] = source.choice((*_WORDS, *HOSTILE))
    return b"\n".join(b",".join(one) for one in rows)


_SEEDS = (
    (EXAMPLES / "fleet.csv").read_bytes(),
    b"registration,aircraft.engine.power [hp],note\nA,80,\nB,,x\n",
    b'a,"b ""quoted"" c",loading.stations.fuel\r\n"x\ny",1,60 L\r\n,,\r\n',
    b"aircraft.propeller.kind,condition.oat [C],condition.metar\nfixed-pitch,-5.5,METAR XXXX 241200Z 31/09 Q1017\n",
    "\ufeffname,aircraft.stations.tank.arm [m]\nété,0.61\n".encode(),
    b"one\n1\n\n2\n",
)
_WORDS = (
    *(b",", b"\n", b"\r\n", b"\r", b'"', b'""', b" ", b"[", b"]", b" [kg]", b" [hp]", b",aircraft.engine.power [kW]"),
    *(b"aircraft.", b"loading.stations.seats [kg]", b"condition.oat [C]", b"condition.metar", b";", b"\t", b"#", b"NA"),
    *(
        b"80",
        b"-1e5",
        b"0x10",
        b"nan",
        b"inf",
        b"1,5",
        b"true",
        b"60 L",
        b'"a\nb"',
        b"status",
        b"=1+1",
        b"\x00",
        b"null",
    ),
)

TARGET = Target("csv_table", check, _SEEDS, _WORDS, mutate)
