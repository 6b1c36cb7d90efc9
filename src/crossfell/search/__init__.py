"""What else could be: what helps, what differs, by trying many pieces?"""
