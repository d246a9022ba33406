"""Pools of congruence questions: drawn from specs, proved twice, exported to open standards.

The flow is spec -> draw -> solve -> compose -> export -> audit; DEVELOPERS.md walks it.
"""

__version__ = "0.3.0"
