// Tokens of expressions. Node names inside v(...) and source names inside i(...) follow the rules of cards, not of expressions
// (B+ and /IN are nodes), hence the second mode.
lexer grammar ExpressionLexer;

VOLTAGE : [vV] BLANK* '(' -> pushMode(Nodes) ;
CURRENT : [iI] BLANK* '(' -> pushMode(Nodes) ;

// A number with scale suffix, unit letters, and the IEC 60062 form with the suffix in the decimal point's place: 4k7.
NUMBER : ( DIGIT+ ( '.' DIGIT* )? | '.' DIGIT+ ) ( [eE] [+\-]? DIGIT+ )? ( LETTER+ ( DIGIT+ LETTER* )? )? ;
NAME : ( LETTER | [@#$] ) ( LETTER | DIGIT | [$@.#] )* ;

OR : '||' | '|' ;
AND : '&&' | '&' ;
EQUAL : '==' | '=' ;
NOT_EQUAL : '!=' | '<>' ;
LESS_OR_EQUAL : '<=' ;
GREATER_OR_EQUAL : '>=' ;
LESS : '<' ;
GREATER : '>' ;
PLUS : '+' ;
MINUS : '-' ;
POWER : '^' | '**' ;
TIMES : '*' ;
DIVIDE : '/' ;
REMAINDER : '%' ;
WHOLE_DIVIDE : '\\' ;
NOT : '!' | '~' ;
QUESTION : '?' ;
COLON : ':' ;
COMMA : ',' ;
OPEN : '(' ;
CLOSE : ')' ;
OPEN_BRACE : '{' ;
CLOSE_BRACE : '}' ;
BLANKS : BLANK+ -> skip ;
STRAY : . ;

fragment DIGIT : [0-9] ;
fragment LETTER : [a-zA-Z_] ;
fragment BLANK : [ \t\n] ;

mode Nodes ;

NODE : ~[ \t\n,()]+ ;
NODE_COMMA : ',' -> type(COMMA) ;
NODE_CLOSE : ')' -> type(CLOSE), popMode ;
NODE_BLANKS : BLANK+ -> skip ;
NODE_STRAY : . -> type(STRAY) ;
