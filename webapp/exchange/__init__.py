"""A build as one document that another machine can read: what it holds, written, read and stored."""
