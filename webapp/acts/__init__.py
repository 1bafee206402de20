"""What a person does from more than one sheet."""
