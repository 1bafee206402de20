"""The handlers, thin: form, service or query, template."""
