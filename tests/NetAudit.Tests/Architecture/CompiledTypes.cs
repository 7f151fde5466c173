using Mono.Cecil;
using Mono.Cecil.Cil;

namespace NetAudit.Tests.Architecture;

/// <summary>What the compiled assemblies hold and what it uses.</summary>
internal static class CompiledTypes
{
    /// <summary>The library.</summary>
    public static ModuleDefinition Library { get; } = Read("NetAudit.dll");

    /// <summary>The command line host.</summary>
    public static ModuleDefinition CommandLine { get; } = Read("NetAudit.Cli.dll");

    /// <summary>Every type, nested and compiler-made ones too.</summary>
    public static IEnumerable<TypeDefinition> All(ModuleDefinition module) =>
        module.Types.SelectMany(type => Nested(type).Prepend(type));

    /// <summary>Which outermost type uses which other type, by full names.</summary>
    public static IEnumerable<(string From, string To)> Uses(ModuleDefinition module) =>
        from type in All(module)
        from used in UsedBy(type)
        from part in Parts(used)
        select (Outermost(type).FullName, Outermost(part).FullName);

    /// <summary>Every method that is called, with the method that calls it.</summary>
    public static IEnumerable<(MethodDefinition From, MethodReference To)> Calls(
        ModuleDefinition module
    ) =>
        from type in All(module)
        from method in type.Methods
        where method.HasBody
        from instruction in method.Body.Instructions
        let called = instruction.Operand as MethodReference
        where called is not null
        select (method, called);

    private static IEnumerable<TypeReference> UsedBy(TypeDefinition type)
    {
        IEnumerable<TypeReference?> used =
        [
            type.BaseType,
            .. type.Interfaces.Select(i => i.InterfaceType),
            .. type.CustomAttributes.Select(a => a.AttributeType),
            .. type.Fields.Select(f => f.FieldType),
            .. type.Methods.Select(m => m.ReturnType),
            .. type.Methods.SelectMany(m => m.Parameters).Select(p => p.ParameterType),
            .. type.Methods.Where(m => m.HasBody).SelectMany(UsedInBody),
        ];
        return used.OfType<TypeReference>();
    }

    private static IEnumerable<TypeReference?> UsedInBody(MethodDefinition method) =>
        method
            .Body.Variables.Select(v => v.VariableType)
            .Concat(method.Body.Instructions.SelectMany(UsedByOperand));

    private static IEnumerable<TypeReference?> UsedByOperand(Instruction instruction) =>
        instruction.Operand switch
        {
            TypeReference type => [type],
            FieldReference field => [field.DeclaringType, field.FieldType],
            MethodReference called =>
            [
                called.DeclaringType,
                called.ReturnType,
                .. called.Parameters.Select(p => p.ParameterType),
                .. (called as GenericInstanceMethod)?.GenericArguments ?? [],
            ],
            _ => [],
        };

    private static IEnumerable<TypeReference> Parts(TypeReference type) =>
        type switch
        {
            GenericInstanceType generic => generic
                .GenericArguments.SelectMany(Parts)
                .Append(generic.ElementType),
            TypeSpecification specification => Parts(specification.ElementType),
            GenericParameter => [],
            _ => [type],
        };

    private static IEnumerable<TypeDefinition> Nested(TypeDefinition type) =>
        type.NestedTypes.SelectMany(nested => Nested(nested).Prepend(nested));

    private static TypeReference Outermost(TypeReference type)
    {
        while (type.DeclaringType is { } outer)
        {
            type = outer;
        }
        return type;
    }

    private static ModuleDefinition Read(string file) =>
        ModuleDefinition.ReadModule(Path.Combine(AppContext.BaseDirectory, file));
}
