using System.Reflection;
using System.Reflection.Emit;

namespace NetAudit.Simulation.Laws;

/// <summary>
/// Translates the steps of a law into one straight run of machine code: each step a local variable, each operation the same machine
/// operation or method of <see cref="LawArithmetic"/> that the interpreter uses.
/// </summary>
internal static class LawEmitter
{
    private static readonly Type[] One = [typeof(double)];
    private static readonly Type[] Two = [typeof(double), typeof(double)];

    public static LawCode Emit(CompiledLaw law)
    {
        var method = new DynamicMethod(
            "Law",
            typeof(void),
            [
                typeof(double).MakeByRefType(),
                typeof(double).MakeByRefType(),
                typeof(double).MakeByRefType(),
            ],
            typeof(LawArithmetic).Module,
            skipVisibility: true
        );
        var il = method.GetILGenerator();
        var firstInput = law.ConstantCount;
        var firstStep = firstInput + law.InputCount;
        var literals = law.Literals.ToDictionary(literal => literal.Cell, literal => literal.Value);
        var inputs = Enumerable
            .Range(0, law.InputCount)
            .Select(_ => il.DeclareLocal(typeof(double)))
            .ToArray();
        for (var i = 0; i < inputs.Length; i++)
        {
            LoadElement(il, OpCodes.Ldarg_0, i);
            il.Emit(OpCodes.Stloc, inputs[i]);
        }
        var steps = new LocalBuilder[law.Body.Length];
        foreach (var step in law.Body)
        {
            var operation = step.Operation;
            Load(step.A);
            if (step.B >= 0)
            {
                Load(step.B);
            }
            if (step.C >= 0)
            {
                Load(step.C);
            }
            Apply(il, operation);
            var local = il.DeclareLocal(typeof(double));
            steps[step.Target - firstStep] = local;
            il.Emit(OpCodes.Stloc, local);
        }
        for (var i = 0; i < law.Results.Length; i++)
        {
            il.Emit(OpCodes.Ldarg_2);
            Offset(il, i);
            Load(law.Results[i]);
            il.Emit(OpCodes.Stind_R8);
        }
        il.Emit(OpCodes.Ret);
        return method.CreateDelegate<LawCode>();

        void Load(int cell)
        {
            if (cell >= firstStep)
            {
                il.Emit(OpCodes.Ldloc, steps[cell - firstStep]);
            }
            else if (cell >= firstInput)
            {
                il.Emit(OpCodes.Ldloc, inputs[cell - firstInput]);
            }
            else if (literals.TryGetValue(cell, out var value))
            {
                il.Emit(OpCodes.Ldc_R8, value);
            }
            else
            {
                LoadElement(il, OpCodes.Ldarg_1, cell);
            }
        }
    }

    private static void LoadElement(ILGenerator il, OpCode array, int index)
    {
        il.Emit(array);
        Offset(il, index);
        il.Emit(OpCodes.Ldind_R8);
    }

    private static void Offset(ILGenerator il, int index)
    {
        if (index > 0)
        {
            il.Emit(OpCodes.Ldc_I4, index * sizeof(double));
            il.Emit(OpCodes.Add);
        }
    }

    private static void Apply(ILGenerator il, LawOperation operation)
    {
        switch (operation)
        {
            case LawOperation.Negate:
                il.Emit(OpCodes.Neg);
                break;
            case LawOperation.Add:
                il.Emit(OpCodes.Add);
                break;
            case LawOperation.Subtract:
                il.Emit(OpCodes.Sub);
                break;
            case LawOperation.Multiply:
                il.Emit(OpCodes.Mul);
                break;
            case LawOperation.Divide:
                il.Emit(OpCodes.Div);
                break;
            case LawOperation.Select:
                il.Emit(OpCodes.Call, Own(nameof(LawArithmetic.Select), 3));
                break;
            case LawOperation.Sin:
            case LawOperation.Cos:
            case LawOperation.Tan:
            case LawOperation.Atan:
            case LawOperation.Tanh:
            case LawOperation.Asinh:
            case LawOperation.Cbrt:
            case LawOperation.Abs:
            case LawOperation.Floor:
            case LawOperation.Ceiling:
            case LawOperation.Truncate:
                il.Emit(OpCodes.Call, typeof(Math).GetMethod(operation.ToString(), One)!);
                break;
            case LawOperation.Min:
            case LawOperation.Max:
            case LawOperation.Atan2:
            case LawOperation.CopySign:
                il.Emit(OpCodes.Call, typeof(Math).GetMethod(operation.ToString(), Two)!);
                break;
            default:
                il.Emit(
                    OpCodes.Call,
                    Own(operation.ToString(), operation < LawOperation.Add ? 1 : 2)
                );
                break;
        }
    }

    private static MethodInfo Own(string name, int operands) =>
        typeof(LawArithmetic).GetMethod(
            name,
            BindingFlags.Static | BindingFlags.Public,
            [.. Enumerable.Repeat(typeof(double), operands)]
        ) ?? throw new MissingMethodException(nameof(LawArithmetic), name);
}
