"""What the stage chart shows, as plain values: rows, filters, order, finding; no screen library here."""
