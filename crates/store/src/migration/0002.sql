create table tablets (
    id text primary key,
    name text not null,
    token_hash text not null unique,
    enrolled_by text not null references people (id),
    enrolled_ms bigint not null,
    active boolean not null
);
create table texts (
    text_key text not null,
    version bigint not null,
    language text not null,
    body text not null,
    person text not null,
    at_ms bigint not null,
    primary key (text_key, language, version)
);
alter table sessions add column tablet text references tablets (id)
