create table people (
    id text primary key,
    name text not null,
    name_key text not null unique,
    role text not null,
    password_hash text,
    pin_hash text,
    active boolean not null,
    created_ms bigint not null
);
create table skills (
    person text not null references people (id),
    operation text not null,
    level text not null,
    primary key (person, operation)
);
create table sessions (
    token_hash text primary key,
    person text not null references people (id),
    begun_ms bigint not null,
    until_ms bigint not null
);
create table customers (
    id text primary key,
    name text not null,
    name_key text not null,
    phone text not null,
    mail text not null,
    words text not null,
    created_ms bigint not null
);
create index customers_by_name on customers (name_key);
create table bikes (
    id text primary key,
    customer text not null references customers (id),
    name text not null,
    frame_number text not null,
    words text not null,
    created_ms bigint not null
);
create index bikes_by_customer on bikes (customer);
create table jobs (
    id text primary key,
    branch text not null,
    serial bigint not null,
    name text not null,
    customer text not null references customers (id),
    bike text references bikes (id),
    version bigint not null,
    stage text not null,
    stage_since_ms bigint not null,
    held text not null,
    promised_day bigint,
    opened_ms bigint not null,
    changed_ms bigint not null,
    unique (branch, serial)
);
create index jobs_by_stage on jobs (stage, changed_ms, id);
create index jobs_by_change on jobs (changed_ms, id);
create index jobs_by_bike on jobs (bike, changed_ms, id);
create index jobs_by_customer on jobs (customer, changed_ms, id);
create table entries (
    job text not null references jobs (id),
    seq bigint not null,
    entry_key text not null unique,
    at_ms bigint not null,
    person text not null,
    kind text not null,
    event text not null,
    kept_ms bigint not null,
    primary key (job, seq)
);
create table parts (
    id text primary key,
    slot text not null,
    name text not null,
    part text not null,
    changed_ms bigint not null
);
create table stock (
    part text primary key,
    on_hand bigint not null,
    reserved bigint not null,
    place text not null,
    changed_ms bigint not null
);
create table photos (
    hash text primary key,
    media_type text not null,
    size_bytes bigint not null,
    bytes $BYTES not null,
    kept_ms bigint not null
);
create table job_photos (
    id text primary key,
    job text not null references jobs (id),
    photo text not null references photos (hash),
    about text not null,
    person text not null,
    at_ms bigint not null
);
create index job_photos_by_job on job_photos (job)
