"""What a person types: field tables, quantities, refusals."""
