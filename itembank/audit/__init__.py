"""The audit: what a package shows and grades, recomputed by code of its own.

It imports neither the solver, nor the notation, nor the exporters: a reader
that shares code with a writer shares its mistakes.
"""

from itembank.audit.audit import audit_package
from itembank.audit.report import ItemReport, Report

__all__ = ["ItemReport", "Report", "audit_package"]
