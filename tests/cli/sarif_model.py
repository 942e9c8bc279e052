"""Holds a SARIF log against the object model of SARIF 2.1.0 as the package sarif-om has it: its classes were
generated from the published schema, and know each object's properties and which of them must be there.

Enumerations and value ranges are not in that model; those used here are from the standard's text (OASIS, SARIF
2.1.0, the section named), from memory.
"""

import attr
import sarif_om

# Which object stands in which property, for the properties that are written.
OBJECTS = {
    "runs": sarif_om.Run,
    "tool": sarif_om.Tool,
    "driver": sarif_om.ToolComponent,
    "rules": sarif_om.ReportingDescriptor,
    "defaultConfiguration": sarif_om.ReportingConfiguration,
    "shortDescription": sarif_om.MultiformatMessageString,
    "help": sarif_om.MultiformatMessageString,
    "invocations": sarif_om.Invocation,
    "toolExecutionNotifications": sarif_om.Notification,
    "results": sarif_om.Result,
    "message": sarif_om.Message,
    "locations": sarif_om.Location,
    "logicalLocations": sarif_om.LogicalLocation,
    "physicalLocation": sarif_om.PhysicalLocation,
    "artifactLocation": sarif_om.ArtifactLocation,
    "region": sarif_om.Region,
}
LEVELS = {"none", "note", "warning", "error"}  # 3.27.10
COLUMN_KINDS = {"utf16CodeUnits", "unicodeCodePoints"}  # 3.14.17


def _properties(model):
    """{name in the file: whether it must be there}"""
    return {
        field.metadata["schema_property_name"]: field.default is attr.NOTHING
        for field in attr.fields(model)
        if "schema_property_name" in field.metadata
    }


def faults(value, model=sarif_om.SarifLog, path="log"):
    """What is wrong with an object, as a list of sentences."""
    known = _properties(model)
    found = [f"{path} lacks {name}" for name, needed in known.items() if needed and name not in value]
    for name, inside in value.items():
        here = f"{path}.{name}"
        if name not in known:
            found.append(f"{here} is unknown")
        elif name in OBJECTS:
            for one in inside if isinstance(inside, list) else [inside]:
                found += faults(one, OBJECTS[name], here)
        elif name == "level" and inside not in LEVELS:
            found.append(f"{here} is {inside!r}")
        elif name == "columnKind" and inside not in COLUMN_KINDS:
            found.append(f"{here} is {inside!r}")
        elif name in ("startLine", "byteLength") and (not isinstance(inside, int) or inside < 1):
            found.append(f"{here} is {inside!r}")
        elif name in ("byteOffset", "ruleIndex") and (not isinstance(inside, int) or inside < 0):
            found.append(f"{here} is {inside!r}")
    return found
