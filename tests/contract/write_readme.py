"""Makes the README's calls anew and writes what comes back: .venv/bin/python tests/contract/write_readme.py ADDRESS

ADDRESS is a running service, for example http://127.0.0.1:8000. Read the difference before you commit it: the answers
are there for people, and what they expect is checked elsewhere.
"""

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
CALL = re.compile(r"```sh\n(curl .*?)\n```\n\n```(\w+)\n.*?\n```", re.S)


def main(address: str) -> None:
    def answered(match: re.Match[str]) -> str:
        command = match[1].replace("http://127.0.0.1:8000", address)
        said = subprocess.run(["bash", "-c", command], capture_output=True, text=True, cwd=ROOT, check=True).stdout
        return f"```sh\n{match[1]}\n```\n\n```{match[2]}\n{said.strip()}\n```"

    readme = ROOT / "README.md"
    readme.write_text(CALL.sub(answered, readme.read_text("utf-8")), "utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
