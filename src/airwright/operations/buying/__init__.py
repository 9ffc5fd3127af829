"""What to order where and when: the least cost over all jobs, with its proof."""
