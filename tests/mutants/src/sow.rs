//! The kinds of mutants, and where each is sown.

use proc_macro2::{Literal, Span, TokenStream};
use quote::{ToTokens, quote};
use std::collections::HashSet;
use std::fmt;
use syn::spanned::Spanned;
use syn::visit_mut::{self, VisitMut};
use syn::{
    Arm, Attribute, BinOp, Block, Expr, ExprIf, ExprLit, ExprMethodCall, ExprRepeat, File, ImplItem,
    ImplItemFn, Item, ItemFn, Lit, Macro, Pat, ReturnType, Signature, Stmt, Type, UnOp, parse_quote,
};

/// In files with such a name a comparison is also tried at its edge: verdicts hang on it there, and elsewhere one in 10¹⁶ does.
const WITH_EDGES: [&str; 2] = ["/limits", "/studies/"];

/// One mutant.
pub struct Mutant {
    number: usize,
    /// File, line and column.
    place: String,
    kind: &'static str,
    /// What it changes.
    text: String,
}

impl fmt::Display for Mutant {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { number, place, kind, text } = self;
        write!(f, "{number}\t{place}\t{kind}\t{text}")
    }
}

/// Sows mutants numbered from `first` on into a file of this name, but for those with a name in `skip` (its place and kind).
pub fn sow(source: &mut File, file: &str, first: usize, skip: &HashSet<String>) -> Vec<Mutant> {
    let path = if file.starts_with("models/") {
        quote!(crate::mutant)
    } else {
        quote!(::latchstroke_models::mutant)
    };
    let with_edges = WITH_EDGES.iter().any(|part| file.contains(part));
    let mut sower = Sower { file, path, next: first, skip, with_edges, sown: Vec::new() };
    sower.visit_file_mut(source);
    sower.sown
}

struct Sower<'a> {
    file: &'a str,
    /// The module that says which mutant is awake.
    path: TokenStream,
    next: usize,
    skip: &'a HashSet<String>,
    with_edges: bool,
    sown: Vec<Mutant>,
}

fn source_of(tokens: &impl ToTokens) -> String {
    tokens.span().source_text().unwrap_or_else(|| tokens.to_token_stream().to_string())
}

/// A condition that binds a name cannot be an operand.
fn binds(condition: &Expr) -> bool {
    match condition {
        Expr::Let(_) => true,
        Expr::Binary(binary) if matches!(binary.op, BinOp::And(_)) => {
            binds(&binary.left) || binds(&binary.right)
        }
        Expr::Paren(inner) => binds(&inner.expr),
        _ => false,
    }
}

fn is_test(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| {
        let text = attribute.to_token_stream().to_string();
        text.contains("cfg (test") || text == "# [test]"
    })
}

impl Sower<'_> {
    /// Numbers a mutant, unless it is to be skipped: an expression that is true while it is awake, and its number.
    fn mutant(&mut self, at: Span, kind: &'static str, text: &str) -> Option<(Expr, Literal)> {
        self.next += 1;
        let start = at.start();
        let place = format!("{}:{}:{}", self.file, start.line, start.column + 1);
        if self.skip.contains(&format!("{place} {kind}")) {
            return None;
        }
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        self.sown.push(Mutant { number: self.next, place, kind, text });
        let (path, number) = (&self.path, Literal::usize_unsuffixed(self.next));
        Some((parse_quote!(#path::awake(#number)), number))
    }

    /// The contrary of a condition that binds nothing and is no comparison, which has one of its own (in brackets by now).
    fn negate(&mut self, condition: &mut Expr) {
        if binds(condition) || matches!(condition, Expr::Paren(_)) {
            return;
        }
        if let Some((awake, _)) = self.mutant(condition.span(), "negate", &source_of(condition)) {
            *condition = parse_quote!((#awake != (#condition)));
        }
    }

    fn binary(&mut self, expression: &mut Expr, text: &str) {
        let Expr::Binary(binary) = &*expression else { return };
        let (left, right, op) = (&binary.left, &binary.right, binary.op);
        let at = op.span();
        let other: BinOp = match op {
            BinOp::And(_) | BinOp::Or(_) => {
                if binds(expression) {
                    return;
                }
                // a ∨ b is ¬(¬a ∧ ¬b), and the other way round.
                if let Some((awake, _)) = self.mutant(at, "and or", text) {
                    *expression = parse_quote!((#awake ^ ((#awake ^ (#left)) #op (#awake ^ (#right)))));
                }
                return;
            }
            BinOp::Lt(_) | BinOp::Le(_) | BinOp::Gt(_) | BinOp::Ge(_) | BinOp::Eq(_) | BinOp::Ne(_) => {
                self.comparison(expression, text);
                return;
            }
            BinOp::Add(_) => parse_quote!(-),
            BinOp::Sub(_) => parse_quote!(+),
            BinOp::Mul(_) => parse_quote!(/),
            BinOp::Div(_) => parse_quote!(*),
            BinOp::AddAssign(_) => parse_quote!(-=),
            BinOp::SubAssign(_) => parse_quote!(+=),
            BinOp::MulAssign(_) => parse_quote!(/=),
            BinOp::DivAssign(_) => parse_quote!(*=),
            _ => return,
        };
        let Some((awake, _)) = self.mutant(at, "operator", text) else { return };
        *expression = match op {
            BinOp::AddAssign(_) | BinOp::SubAssign(_) | BinOp::MulAssign(_) | BinOp::DivAssign(_) => {
                parse_quote!(match #right { right => if #awake { #left #other right } else { #left #op right } })
            }
            _ => parse_quote!((match (#left, #right) {
                (left, right) => if #awake { left #other right } else { left #op right }
            })),
        };
    }

    fn comparison(&mut self, expression: &mut Expr, text: &str) {
        let Expr::Binary(binary) = &*expression else { return };
        let (left, right, op) = (&binary.left, &binary.right, binary.op);
        let at = op.span();
        let edge: Option<BinOp> = match op {
            BinOp::Lt(_) => Some(parse_quote!(<=)),
            BinOp::Le(_) => Some(parse_quote!(<)),
            BinOp::Gt(_) => Some(parse_quote!(>=)),
            BinOp::Ge(_) => Some(parse_quote!(>)),
            _ => None,
        };
        let mut compared: Expr = parse_quote!((#left) #op (#right));
        if let Some(edge) = edge.filter(|_| self.with_edges)
            && let Some((awake, _)) = self.mutant(at, "edge", text)
        {
            compared = parse_quote!((match (&(#left), &(#right)) {
                (left, right) => if #awake { left #edge right } else { left #op right }
            }));
        }
        if let Some((awake, _)) = self.mutant(at, "negate", text) {
            compared = parse_quote!((#awake != (#compared)));
        }
        *expression = compared;
    }

    fn method(&mut self, call: &ExprMethodCall, text: &str) -> Option<Expr> {
        let (of, method, at) = (&call.receiver, &call.method, call.method.span());
        let arguments: Vec<&Expr> = call.args.iter().collect();
        Some(match (method.to_string().as_str(), arguments.as_slice()) {
            (name @ ("min" | "max"), [other]) => {
                let (awake, _) = self.mutant(at, "min max", text)?;
                let contrary = syn::Ident::new(if name == "min" { "max" } else { "min" }, at);
                parse_quote!((match (#of, #other) {
                    (left, right) => if #awake { left.#contrary(right) } else { left.#method(right) }
                }))
            }
            ("abs" | "sqrt", []) => {
                let (awake, _) = self.mutant(at, "without", text)?;
                // The product is a number even of a reference to one.
                parse_quote!((match #of { value => if #awake { 1.0 * value } else { value.#method() } }))
            }
            ("clamp", [least, most]) => {
                let (awake, _) = self.mutant(at, "without", text)?;
                parse_quote!((match (#of, #least, #most) {
                    (value, least, most) => if #awake { value } else { value.clamp(least, most) }
                }))
            }
            ("powi", [power]) => {
                let (awake, _) = self.mutant(at, "power", text)?;
                parse_quote!(#of.powi((#power) + i32::from(#awake)))
            }
            _ => return None,
        })
    }

    /// A body that answers at once.
    fn body(&mut self, signature: &Signature, block: &mut Block) {
        if signature.constness.is_some() || block.stmts.is_empty() {
            return;
        }
        let answers = match &signature.output {
            ReturnType::Default => "()".to_owned(),
            ReturnType::Type(_, answers) => answers.to_token_stream().to_string(),
        };
        let instead: Vec<Expr> = match answers.as_str() {
            "()" => vec![parse_quote!(())],
            "f64" => vec![parse_quote!(0.0)],
            "bool" => vec![parse_quote!(true), parse_quote!(false)],
            answers if answers.starts_with("Option <") => vec![parse_quote!(None)],
            answers if answers.starts_with("Vec <") => vec![parse_quote!(Vec::new())],
            _ => Vec::new(),
        };
        for answer in instead {
            let text = format!("{} -> {}", signature.ident, answer.to_token_stream());
            if let Some((awake, _)) = self.mutant(signature.ident.span(), "body", &text) {
                let at_once: Stmt = parse_quote!(if #awake { return #answer; });
                block.stmts.insert(0, at_once);
            }
        }
    }
}

impl VisitMut for Sower<'_> {
    fn visit_item_mut(&mut self, item: &mut Item) {
        match item {
            Item::Fn(function) if is_test(&function.attrs) || function.sig.constness.is_some() => {}
            Item::Mod(module) if is_test(&module.attrs) => {}
            Item::Fn(_) | Item::Mod(_) | Item::Impl(_) | Item::Trait(_) => {
                visit_mut::visit_item_mut(self, item)
            }
            _ => {}
        }
    }

    fn visit_impl_item_mut(&mut self, item: &mut ImplItem) {
        match item {
            ImplItem::Fn(function) if function.sig.constness.is_none() && !is_test(&function.attrs) => {
                visit_mut::visit_impl_item_mut(self, item);
            }
            _ => {}
        }
    }

    fn visit_type_mut(&mut self, _: &mut Type) {}
    fn visit_pat_mut(&mut self, _: &mut Pat) {}
    fn visit_attribute_mut(&mut self, _: &mut Attribute) {}
    fn visit_macro_mut(&mut self, _: &mut Macro) {}

    fn visit_item_fn_mut(&mut self, function: &mut ItemFn) {
        self.visit_block_mut(&mut function.block);
        self.body(&function.sig, &mut function.block);
    }

    fn visit_impl_item_fn_mut(&mut self, function: &mut ImplItemFn) {
        self.visit_block_mut(&mut function.block);
        self.body(&function.sig, &mut function.block);
    }

    fn visit_expr_if_mut(&mut self, branch: &mut ExprIf) {
        visit_mut::visit_expr_if_mut(self, branch);
        self.negate(&mut branch.cond);
    }

    fn visit_arm_mut(&mut self, arm: &mut Arm) {
        visit_mut::visit_arm_mut(self, arm);
        if let Some((_, guard)) = &mut arm.guard {
            self.negate(guard);
        }
    }

    /// Of `[value; count]` the count must stay a constant.
    fn visit_expr_repeat_mut(&mut self, repeat: &mut ExprRepeat) {
        self.visit_expr_mut(&mut repeat.expr);
    }

    fn visit_expr_mut(&mut self, expression: &mut Expr) {
        let (at, text) = (expression.span(), source_of(expression));
        visit_mut::visit_expr_mut(self, expression);
        match expression {
            Expr::Binary(_) => self.binary(expression, &text),
            Expr::Unary(unary) => {
                let of = &unary.expr;
                let kind = match unary.op {
                    UnOp::Neg(_) => "minus",
                    UnOp::Not(_) => "not",
                    _ => return,
                };
                let Some((awake, _)) = self.mutant(at, kind, &text) else { return };
                *expression = match kind {
                    "not" => parse_quote!((#awake != (!(#of)))),
                    _ => parse_quote!((match #of { value => if #awake { value } else { -value } })),
                };
            }
            Expr::Lit(ExprLit { lit: Lit::Float(number), .. }) => {
                if number.suffix() == "f32" || number.base10_parse::<f64>().is_ok_and(|number| number == 0.0)
                {
                    return;
                }
                if let Some((awake, _)) = self.mutant(at, "half more", &text) {
                    *expression = parse_quote!((if #awake { 1.5 * #number } else { #number }));
                }
            }
            Expr::Path(path) if path.qself.is_none() => {
                let name = path.path.segments.last().map(|last| last.ident.to_string()).unwrap_or_default();
                let is_constant = name.len() > 1
                    && name.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit() || c == '_');
                // Half more than these is themselves, and an epsilon is one.
                if !is_constant
                    || ["INFINITY", "NEG_INFINITY", "NAN", "EPSILON", "MIN_POSITIVE"].contains(&name.as_str())
                {
                    return;
                }
                if let Some((_, number)) = self.mutant(at, "half more", &text) {
                    let module = &self.path;
                    *expression = parse_quote!(#module::scaled(#number, #expression));
                }
            }
            Expr::MethodCall(call) => {
                if let Some(changed) = self.method(call, &text) {
                    *expression = changed;
                }
            }
            _ => {}
        }
    }
}
