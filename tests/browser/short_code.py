"""A workbench like that of ``lidoff bench --phone``, but whose codes run out soon."""

import argparse
import sys
from pathlib import Path

from lidoff.bench import Served, Settings, serve

SECONDS = 2.0


def tell(served: Served) -> None:
    sys.stdout.write(f"page     {served.address}\n")
    sys.stdout.flush()


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("folder", type=Path)
    parser.add_argument("--no-open", action="store_true")
    parser.add_argument("--port", type=int)
    asked = parser.parse_args()
    settings = Settings(port=asked.port, port_is_fixed=True, seconds_of_phone_code=SECONDS)
    serve(asked.folder, settings, phone=True, told=tell)


if __name__ == "__main__":
    main()
