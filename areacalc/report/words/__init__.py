"""Sentences: one catalogue from kinds of facts to words, in metric or US units."""
