"""Which of several pieces is woven when, which promises are kept, and what is bought for all?"""
