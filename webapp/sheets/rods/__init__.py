"""Will the rods go round?"""
