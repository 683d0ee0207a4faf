//! The shape of a problem document in the OpenAPI document.
use serde::Serialize;
use utoipa::ToSchema;

/// A refusal (RFC 9457). Members beyond these depend on the code.
#[derive(Debug, Serialize, ToSchema)]
#[schema(
    as = Problem,
    example = json!({
        "type": "https://desk.example/problems/invalid-body",
        "title": "The body is not what this operation takes",
        "status": 422,
        "code": "invalid_body",
        "detail": "Unknown member \"tensoin\".",
        "instance": "/v1/jobs",
        "trace_id": "4bf92f3577b34da6a3ce929d0e0e4736",
        "errors": [{"pointer": "/spec/tensoin", "code": "unknown_member", "detail": "Unknown member \"tensoin\"."}]
    })
)]
pub struct ProblemDocument {
    /// Address of a page that explains this kind of problem.
    #[schema(format = "uri-reference")]
    pub r#type: String,
    /// What happened, in the caller's language.
    pub title: String,
    /// The HTTP status.
    #[schema(minimum = 400, maximum = 599)]
    pub status: u16,
    /// The reason; never changes its meaning.
    #[schema(pattern = "^[a-z_]+$")]
    pub code: String,
    /// What is special here and the way out, in the caller's language.
    pub detail: String,
    /// The path that was asked for.
    pub instance: Option<String>,
    /// Names this request in the logs.
    #[schema(pattern = "^[0-9a-f]{32}$")]
    pub trace_id: Option<String>,
    /// The wrong places of the request.
    pub errors: Option<Vec<FaultItem>>,
}

/// One wrong place of a request.
#[derive(Debug, Serialize, ToSchema)]
#[schema(as = ProblemFault)]
pub struct FaultItem {
    /// JSON Pointer (RFC 6901) into the body.
    pub pointer: Option<String>,
    /// Name of a query parameter.
    pub parameter: Option<String>,
    /// Name of a header.
    pub header: Option<String>,
    /// What is wrong; never changes its meaning.
    pub code: String,
    /// What is wrong and the way out, in the caller's language.
    pub detail: String,
    /// The value that was probably meant.
    pub suggestion: Option<serde_json::Value>,
}
