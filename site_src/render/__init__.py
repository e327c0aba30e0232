"""From the core to HTML: cards, worked examples, charts, tables of evidence."""
