create table links (
    token_hash text primary key,
    job text not null references jobs (id),
    version bigint not null,
    made_by text not null,
    made_ms bigint not null,
    until_ms bigint not null
);
create index links_by_job on links (job)
