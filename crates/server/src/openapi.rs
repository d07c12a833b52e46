//! The description of the interface, as OpenAPI, at `/api/openapi.json`.

use crate::problem::ProblemDocument;
use std::collections::BTreeMap;
use utoipa::openapi::security::{
    ApiKey, ApiKeyValue, HttpAuthScheme, HttpBuilder, SecurityRequirement, SecurityScheme,
};
use utoipa::openapi::{Content, ContentBuilder, InfoBuilder, OpenApi, Ref, RefOr, Response, ResponseBuilder};
use utoipa::{IntoResponses, PartialSchema as _, ToSchema as _};

/// The problems that any request may be answered with.
pub struct Problems;

const PROBLEMS: &[(&str, &str)] = &[
    ("400", "What was sent cannot be read."),
    ("401", "Not known here, or let in no more."),
    ("403", "Known, and not allowed this."),
    ("404", "There is no such thing."),
    ("408", "It took too long to arrive."),
    ("409", "It stands against what is here."),
    ("413", "Too large."),
    ("415", "Not a form of body that is taken."),
    ("422", "It can be read, and is not what it says it is."),
    ("429", "Too often; Retry-After says how long to wait."),
    ("500", "Our fault."),
    ("503", "Busy; Retry-After says how long to wait."),
];

impl IntoResponses for Problems {
    fn responses() -> BTreeMap<String, RefOr<Response>> {
        let content: Content = ContentBuilder::new().schema(Some(Ref::from_schema_name("Problem"))).build();
        PROBLEMS
            .iter()
            .map(|(status, what)| {
                let response = ResponseBuilder::new()
                    .description(*what)
                    .content("application/problem+json", content.clone())
                    .build();
                ((*status).to_owned(), response.into())
            })
            .collect()
    }
}

/// Completes what the handlers say of themselves.
#[must_use]
pub fn complete(mut api: OpenApi) -> serde_json::Value {
    api.info = InfoBuilder::new()
        .title("gastight server")
        .version(env!("CARGO_PKG_VERSION"))
        .description(Some(
            "The interface of a shop's server. A phone sends the bearer token that it got when it was paired; a \
             browser of the office has a cookie from its login, and sends the header X-Gastight: 1 with whatever \
             changes something. Problems are answered as RFC 9457 has it.",
        ))
        .build();
    let components = api.components.get_or_insert_default();
    components.schemas.insert("Problem".to_owned(), ProblemDocument::schema());
    let mut nested = Vec::new();
    ProblemDocument::schemas(&mut nested);
    components.schemas.extend(nested);
    let bearer = |what: &str| {
        SecurityScheme::Http(
            HttpBuilder::new().scheme(HttpAuthScheme::Bearer).description(Some(what.to_owned())).build(),
        )
    };
    components.add_security_scheme("phone", bearer("The token of a paired phone."));
    components.add_security_scheme("metrics_token", bearer("The token for the metrics."));
    components.add_security_scheme(
        "office",
        SecurityScheme::ApiKey(ApiKey::Cookie(ApiKeyValue::with_description(
            "gastight",
            "The session of a browser; with HTTPS its name is __Host-gastight.",
        ))),
    );
    let none: [&str; 0] = [];
    api.security =
        Some(vec![SecurityRequirement::new("phone", none), SecurityRequirement::new("office", none)]);
    let mut described = serde_json::to_value(&api).unwrap_or_default();
    // In an address or a header what is not given is left out; there is no null there.
    let paths = described["paths"].as_object_mut().into_iter().flat_map(|paths| paths.values_mut());
    for operation in paths.filter_map(serde_json::Value::as_object_mut).flat_map(|item| item.values_mut()) {
        for parameter in
            operation.get_mut("parameters").and_then(serde_json::Value::as_array_mut).into_iter().flatten()
        {
            if let Some(schema) = parameter.get_mut("schema") {
                without_null(schema);
            }
        }
    }
    described
}

/// Takes null out of the kinds of value that a schema allows.
fn without_null(schema: &mut serde_json::Value) {
    let list = |schema: &mut serde_json::Value, key: &str| {
        schema.get_mut(key).and_then(|value| value.as_array_mut().map(std::mem::take))
    };
    if let Some(mut kinds) = list(schema, "type") {
        kinds.retain(|kind| kind != "null");
        schema["type"] = if kinds.len() == 1 { kinds.swap_remove(0) } else { kinds.into() };
    }
    if let Some(mut values) = list(schema, "enum") {
        values.retain(|value| !value.is_null());
        schema["enum"] = values.into();
    }
    if let Some(mut choices) = list(schema, "oneOf") {
        choices.retain(|choice| choice["type"] != "null");
        if choices.len() == 1 {
            *schema = choices.swap_remove(0);
        } else {
            schema["oneOf"] = choices.into();
        }
    }
}
