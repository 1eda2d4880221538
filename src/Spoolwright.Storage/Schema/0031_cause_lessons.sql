-- What each finished job teaches of how often causes are met, weighed once. Made of its readings and tasks; what adds to these takes it out, and it is made again at will.

CREATE TABLE cause_lesson (
    job_id    TEXT NOT NULL REFERENCES job (id),
    knowledge TEXT NOT NULL, -- by which causes and laws it was weighed
    closed    TEXT NOT NULL, -- the closing of the job that it speaks of
    weighed   TEXT NOT NULL, -- when
    counts    TEXT NOT NULL, -- as 'belt 1/2', one a line: met at so many places of so many; empty: it teaches nothing
    PRIMARY KEY (job_id, knowledge)
);
