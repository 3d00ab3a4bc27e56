//! The tables, as the migrations leave them.

diesel::table! {
    people (id) {
        id -> Text,
        name -> Text,
        name_key -> Text,
        role -> Text,
        password_hash -> Nullable<Text>,
        pin_hash -> Nullable<Text>,
        active -> Bool,
        created_ms -> BigInt,
    }
}

diesel::table! {
    skills (person, operation) {
        person -> Text,
        operation -> Text,
        level -> Text,
    }
}

diesel::table! {
    tablets (id) {
        id -> Text,
        name -> Text,
        token_hash -> Text,
        enrolled_by -> Text,
        enrolled_ms -> BigInt,
        active -> Bool,
    }
}

diesel::table! {
    sessions (token_hash) {
        token_hash -> Text,
        person -> Text,
        begun_ms -> BigInt,
        until_ms -> BigInt,
        tablet -> Nullable<Text>,
    }
}

diesel::table! {
    customers (id) {
        id -> Text,
        name -> Text,
        name_key -> Text,
        phone -> Text,
        mail -> Text,
        words -> Text,
        created_ms -> BigInt,
    }
}

diesel::table! {
    bikes (id) {
        id -> Text,
        customer -> Text,
        name -> Text,
        frame_number -> Text,
        words -> Text,
        created_ms -> BigInt,
    }
}

diesel::table! {
    jobs (id) {
        id -> Text,
        branch -> Text,
        serial -> BigInt,
        name -> Text,
        customer -> Text,
        bike -> Nullable<Text>,
        version -> BigInt,
        stage -> Text,
        stage_since_ms -> BigInt,
        held -> Text,
        promised_day -> Nullable<BigInt>,
        opened_ms -> BigInt,
        changed_ms -> BigInt,
    }
}

diesel::table! {
    entries (job, seq) {
        job -> Text,
        seq -> BigInt,
        entry_key -> Text,
        at_ms -> BigInt,
        person -> Text,
        kind -> Text,
        event -> Text,
        kept_ms -> BigInt,
    }
}

diesel::table! {
    parts (id) {
        id -> Text,
        slot -> Text,
        name -> Text,
        part -> Text,
        changed_ms -> BigInt,
    }
}

diesel::table! {
    stock (part) {
        part -> Text,
        on_hand -> BigInt,
        reserved -> BigInt,
        place -> Text,
        changed_ms -> BigInt,
    }
}

diesel::table! {
    photos (hash) {
        hash -> Text,
        media_type -> Text,
        size_bytes -> BigInt,
        bytes -> Binary,
        kept_ms -> BigInt,
    }
}

diesel::table! {
    job_photos (id) {
        id -> Text,
        job -> Text,
        photo -> Text,
        about -> Text,
        person -> Text,
        at_ms -> BigInt,
    }
}

diesel::table! {
    links (token_hash) {
        token_hash -> Text,
        job -> Text,
        version -> BigInt,
        made_by -> Text,
        made_ms -> BigInt,
        until_ms -> BigInt,
    }
}

diesel::table! {
    texts (text_key, language, version) {
        text_key -> Text,
        version -> BigInt,
        language -> Text,
        body -> Text,
        person -> Text,
        at_ms -> BigInt,
    }
}

diesel::table! {
    store_versions (version) {
        version -> BigInt,
        text_hash -> Text,
    }
}

diesel::allow_tables_to_appear_in_same_query!(bikes, customers);
