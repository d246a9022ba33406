"""From a pool to audited packages: variants, selection, composing, making."""
