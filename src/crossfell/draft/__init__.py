"""What did she write, and how is it changed without losing a remark?"""
