"""What is it in space, drawn and hung, and how does its photograph look?"""
