"""Rows in and out: what is known of a build, the journal, versions and tokens."""
